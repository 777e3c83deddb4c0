"""The words of a command line, from which a shell has taken the quotes."""

from collections.abc import Sequence


def cut_words(words: Sequence[str]) -> tuple[tuple[str, ...], str | None]:
    """The words, and the text behind a semicolon in them: `"M 81; oval glow"`."""
    for place, word in enumerate(words):
        before, semicolon, after = word.partition(";")
        if semicolon:
            text = " ".join([after, *words[place + 1 :]]).strip()
            return (*words[:place], *([before.strip()] if before.strip() else [])), text or None
    return tuple(words), None
