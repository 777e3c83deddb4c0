"""Text for the plain look: every sign that is no letter as a very old terminal has it, and as it can be read aloud.

Letters stay as they are, for names are written in them.
"""

import re

_AS_ASCII = str.maketrans(
    {
        "±": "+/-", "×": "x", "−": "-", "′": "'", "″": '"', "’": "'", "‘": "'", "‚": "'", "‛": "'", "“": '"', "”": '"',
        "…": "...", "–": "-", "—": "-", "·": ".", "²": "^2", "³": "^3", "\u00a0": " ", "\u202f": " ", "≈": "about ",
        "≤": "at most ", "≥": "at least ", "→": "->", "←": "<-", "∘": "o", "●": "*", "─": "-", "◂": "<", "▸": ">",
    }
)  # fmt: skip
_DEGREES = re.compile(r" ?°(?=(\w)?)")


def plain_signs(text: str) -> str:
    """The text in signs of ASCII, but for its letters: `12.5°` is `12.5 deg`."""
    if text.isascii():
        return text
    return _DEGREES.sub(lambda sign: " deg " if sign[1] else " deg", text).translate(_AS_ASCII)
