"""People's own text as it may stand on a page or in a picture: signs that are seen, and none that steer."""

from unicodedata import category

from obslog.english import capitalised

LONGEST_LABEL = 40
_NOT_SEEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
JOINERS = "\u200c\u200d"  # they join and part letters, and the signs of one picture letter

# Control characters, those that turn the direction of writing around, and code points that are no characters at all.
_STEERING: dict[int, str | None] = {
    **dict.fromkeys((*range(0x20), *range(0x7F, 0xA0), *range(0x202A, 0x202F), *range(0x2066, 0x206A))),
    **dict.fromkeys((0x2028, 0x2029), "\n"),
    **dict.fromkeys(
        (
            *range(0xFDD0, 0xFDF0),
            *(plane + end for plane in range(0, 0x110000, 0x10000) for end in (0xFFFE, 0xFFFF)),
        )
    ),
    **dict.fromkeys(range(0xD800, 0xE000), "\ufffd"),
    ord("\t"): " ",
    ord("\n"): "\n",
}


def seen(text: str) -> str:
    """The text without what steers a screen or turns a line around; its own line ends stay."""
    return text.translate(_STEERING)


def css_string(text: str) -> str:
    """The text as a string of CSS: every sign but letters and digits of ASCII by its number, and none ends it."""
    signs = (sign if sign.isascii() and sign.isalnum() else f"\\{ord(sign):06x}" for sign in text)
    return f'"{"".join(signs)}"'


def sentence(words: str) -> str:
    """With a capital at its beginning, unless that is a sign of mathematics, and a full stop at its end."""
    whole = words if words.startswith("p = ") else capitalised(words)
    return whole if whole.endswith((".", "!", "?")) else f"{whole}."


def label(text: str, most: int = LONGEST_LABEL) -> str:
    """The text on one line, and not too long for its place: `most` characters with the ellipsis."""
    visible = "".join(" " if category(sign) in _NOT_SEEN and sign not in JOINERS else sign for sign in text)
    one_line = " ".join(visible.split())
    return one_line if len(one_line) <= most else one_line[: most - 1].rstrip() + "…"
