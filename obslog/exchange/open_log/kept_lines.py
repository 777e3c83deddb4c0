"""What the standard has no place for, as lines below the words of a result: for people to read, and read back whole.

oval glow, brighter middle

Not in the standard:
vision: averted
rating: 4
"""

import json
from collections.abc import Mapping

HEAD = "Not in the standard:"
NAMES = ("sighting", "vision", "found by", "rating", "sketch", "tube", "eyepiece", "mount", "set-up")


def with_kept_lines(words: str, told: Mapping[str, str | None]) -> str:
    """The words with a line for each that is told; also where the words themselves hold the head, to end with ours."""
    lines = [f"{name}: {_in_one_line(value)}" for name in NAMES if (value := told.get(name)) is not None]
    if not lines and HEAD not in words:
        return words
    return "\n".join([*([words, ""] if words else []), HEAD, *lines])


def without_kept_lines(text: str) -> tuple[str, dict[str, str]]:
    """The words, and what the lines below them told; a text that does not end with such lines is all words."""
    lines = text.split("\n")
    heads = [place for place, line in enumerate(lines) if line.strip() == HEAD]
    if not heads:
        return text, {}
    told: dict[str, str] = {}
    for line in lines[heads[-1] + 1 :]:
        name, colon, value = line.strip().partition(": ")
        if not colon or name not in NAMES or name in told:
            return text, {}
        told[name] = _as_it_was(value)
    return "\n".join(lines[: heads[-1]]).rstrip("\n") if heads[-1] else "", told


def _in_one_line(value: str) -> str:
    plain = value == value.strip() and value.isprintable() and value and not value.startswith('"')
    return value if plain else json.dumps(value)


def _as_it_was(value: str) -> str:
    if not value.startswith('"'):
        return value
    try:
        return str(json.loads(value))
    except ValueError:
        return value
