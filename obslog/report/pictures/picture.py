"""A picture before it is drawn: what it shows, in words and numbers, and how to draw it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from obslog.report.pictures.ink import Ink

if TYPE_CHECKING:
    from matplotlib.figure import Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """What is drawn, what it says to those who do not see it, and the numbers behind it as a table.

    `name` is its key on a page: small letters and hyphens, no two alike on one page. `draw` draws on an empty figure
    of the size given; colours come from the `Ink` handed to it, and people's own texts pass through
    `plain_text.label` first.
    """

    name: str
    title: str
    description: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    draw: "Callable[[Figure, Ink], None]"
    width_mm: float = 120.0
    height_mm: float = 72.0
