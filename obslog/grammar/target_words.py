"""Where a target's name ends: the longest beginning of the words that names a star, an object, a body or coordinates.

The tables of objects are read only where no star does: a quick verb of the dark waits for them.
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from difflib import SequenceMatcher
from itertools import pairwise

from obslog.grammar.target_names import Target, UnknownTarget, target_of, unknown_target
from obslog.sky.names.deepsky import NotOneObject
from obslog.sky.names.deepsky_names import TWO_NUMBER_CATALOGUES, read_designation
from obslog.sky.names.lookup import (
    FoundInSky,
    found_object,
    found_or_none,
    nearest_in_sky,
    placed_without_objects,
)
from obslog.sky.names.spelling import folded

MOST_WORDS = 6
"""No name has more, but coordinates."""
_MOST_WORDS_OF_COORDINATES = 9
_MOST_WORDS_ASKED_FOR = 3
_SAME_NAME_MISSPELT = 0.9

Reads = Callable[[Sequence[str]], bool]


def split_target(words: Sequence[str], reads: Reads) -> tuple[Target, tuple[str, ...]] | None:
    """The target that the words begin with, and the words behind it; None where no beginning is a known name.

    It is the longest beginning behind which the rest `reads` as something, else the longest.
    """
    if (plain := _before_what_reads(words, reads)) is not None:
        return plain
    longest: tuple[Target, tuple[str, ...]] | None = None
    for found_in in (placed_without_objects, found_object):
        for end, target in _named_beginnings(words, found_in):
            rest = tuple(words[end:])
            if reads(rest):
                return target, rest
            if longest is None or len(rest) < len(longest[1]):
                longest = (target, rest)
    return longest


def unknown_beginning(words: Sequence[str], most: int) -> UnknownTarget:
    """The error for words that begin with no known name, which is looked for in at most so many of them."""
    alike = [
        (_likeness(" ".join(words[:end])), end) for end in range(1, min(most, _MOST_WORDS_ASKED_FOR) + 1)
    ]
    likest, best = max(alike, default=(0.0, most))
    return unknown_target(" ".join(words[: best if likest else most]), words)


def misspelt_longer_name(target: Target, words: Sequence[str], rest: Sequence[str]) -> str | None:
    """The longer name that was meant where a known one only begins it: of `Saturn Nebla`, Saturn Nebula."""
    end = len(words) - len(rest)
    for longer in range(min(len(words), end + 2), end, -1):
        text = " ".join(words[:longer])
        if any(c.isdigit() for c in text):
            continue
        for near in nearest_in_sky(text)[:1]:
            meant = found_or_none(near)
            other = meant is not None and meant.name != target.name
            if other and _ratio(text, near) >= _SAME_NAME_MISSPELT:
                return near
    return None


def _before_what_reads(words: Sequence[str], reads: Reads) -> tuple[Target, tuple[str, ...]] | None:
    """The star or body before words of which each reads alone, as in `Vega 3E 2N`: what nearly every line is."""
    end = len(words)
    while end > 1 and reads(words[end - 1 : end]):
        end -= 1
    found = None
    with suppress(NotOneObject):
        found = placed_without_objects(_as_a_name(words[:end]))
    rest = tuple(words[end:])
    return (target_of(found), rest) if found and not _joins_numbers(words[:end]) and reads(rest) else None


def _named_beginnings(
    words: Sequence[str], found_in: Callable[[str], FoundInSky | None]
) -> Iterator[tuple[int, Target]]:
    """Where a name ends, and what it names: the longest first."""
    for end in range(min(len(words), _MOST_WORDS_OF_COORDINATES), 0, -1):
        text = _as_a_name(words[:end])
        if end > MOST_WORDS and not text[:1].isdigit():
            continue
        try:
            found = found_in(text)
        except NotOneObject:
            continue
        if found is not None and not _joins_numbers(words[:end]):
            yield end, target_of(found)


def _as_a_name(words: Sequence[str]) -> str:
    """Without the comma that parts it from what follows: `M 83, faint`."""
    return " ".join(words).rstrip(",")


def _joins_numbers(words: Sequence[str]) -> bool:
    """Whether a number that stands apart would become a part of another: `M 81 5 stars`, `HIP 9126 2`."""
    text = " ".join(words)
    apart = any(a[-1:].isdigit() and b[:1].isdigit() for a, b in pairwise(words))
    if not apart or {"+", "-", "−"} & set(text):
        return False
    return (read_designation(text) or "").partition(" ")[0] not in TWO_NUMBER_CATALOGUES


def _likeness(text: str) -> float:
    return max((_ratio(text, near) for near in nearest_in_sky(text)), default=0.0)


def _ratio(text: str, name: str) -> float:
    return SequenceMatcher(None, folded(text), folded(name)).ratio()
