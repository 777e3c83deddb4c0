"""Colours by what they are for, in three styles; a picture is drawn by these names alone.

Text reaches a contrast of 4.5 to 1 with its paper, lines 3 to 1, as the Web Content Accessibility Guidelines 2.2 ask
(1.4.3 and 1.4.11). The red style has no green and no blue at all, for eyes that are used to the dark. No two colours
of a style are the same, so that a drawn picture can be coloured anew by the page that shows it.
"""

from dataclasses import asdict, dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """The colours of one style, as `#rrggbb` in small letters.

    `first` to `third` tell series apart, `warning` is kept for what needs somebody's eyes, `shade` fills areas,
    which have an edge in another colour where they tell something, `grid` is for what may be overlooked.
    """

    paper: str
    ink: str
    soft: str
    grid: str
    shade: str
    first: str
    second: str
    third: str
    warning: str

    def roles(self) -> dict[str, str]:
        """Each colour under the name of its role."""
        return asdict(self)


LIGHT = Ink(
    paper="#fdfdfc",
    ink="#1b1b1f",
    soft="#55555f",
    grid="#d5d5db",
    shade="#c9dcf0",
    first="#0b5394",
    second="#a04a00",
    third="#2e6b3c",
    warning="#b3261e",
)
DARK = Ink(
    paper="#131419",
    ink="#e9e9ee",
    soft="#b4b4be",
    grid="#3a3b44",
    shade="#21405f",
    first="#8ec2ff",
    second="#f2b26b",
    third="#8fd19e",
    warning="#ff8a80",
)
RED = Ink(
    paper="#000000",
    ink="#f80000",
    soft="#f40000",
    grid="#480000",
    shade="#380000",
    first="#f00000",
    second="#d00000",
    third="#c00000",
    warning="#fc0000",
)
STYLES = {"light": LIGHT, "dark": DARK, "red": RED}
