"""Text as a sheet may hold it: a name is one line of text, whatever signs stand in it."""

import re
import unicodedata
from collections.abc import Callable

from obslog.report.plain_text import JOINERS, label

IN_PLACE_OF_A_SIGN = "?"
ELLIPSIS = "…"
_RIGHT_TO_LEFT = ("R", "AL", "AN")
_EMPTY = "\x00"
_LOOKS = f"[{JOINERS}\ufe0e\ufe0f]*"
_PICTURE = re.compile(f"{_EMPTY}(?:{_LOOKS}[{JOINERS}]{_LOOKS}{_EMPTY})*{_LOOKS}")


def one_line(text: str) -> str:
    """The whole text on one line, without signs that are not seen."""
    return label(text, len(text) + 1)


def first_and_rest(text: str) -> tuple[str, str]:
    """The first line of a cell, and what is told below it in smaller type, each as `one_line` gives it."""
    first, _, rest = text.partition("\n")
    return one_line(first), one_line(rest)


def in_font(text: str, has_glyph: Callable[[str], bool]) -> tuple[str, int]:
    """The text with one plain sign for each that the font does not have, and how many those are.

    Signs that are joined into one picture count as one, with the marks that only change how it looks.
    """
    marked = "".join(sign if has_glyph(sign) or sign in JOINERS else _missing(sign) for sign in text)
    drawn, count = _PICTURE.subn(IN_PLACE_OF_A_SIGN, marked)
    return "".join(sign for sign in drawn if has_glyph(sign)), count


def _missing(sign: str) -> str:
    """A place for the sign; nothing for one that is only seen together with another."""
    return "" if unicodedata.category(sign) in ("Mn", "Me", "Cf", "Sk") else _EMPTY


def needs_shaping(text: str) -> bool:
    """Whether the text has signs that run from right to left or join with their neighbours."""
    return any(
        unicodedata.bidirectional(sign) in _RIGHT_TO_LEFT or unicodedata.combining(sign) for sign in text
    )
