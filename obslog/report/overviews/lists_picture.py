"""How far a member is through the lists: what was seen with a whole entry, and what was seen with less."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from obslog.club.targets.list_progress import Progress
from obslog.english import counted
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.picture import Picture

if TYPE_CHECKING:
    from matplotlib.figure import Figure

COLUMNS = ("list", "objects", "seen", "with a whole entry", "still to see")
TITLES = {"messier": "Messier", "caldwell": "Caldwell", "doubles": "double stars"}
_ROW_MM, _EDGE_MM = 9.0, 18.0


def lists_picture(lists: Sequence[Progress]) -> Picture:
    """A bar for each list that was begun: of all its objects, those seen; what lacks something is hatched."""
    return Picture(
        name="lists",
        title="Seen of each list",
        description=" ".join(_said(one) for one in lists),
        columns=COLUMNS,
        rows=tuple(_cells(one) for one in lists),
        draw=lambda figure, ink: _draw(figure, ink, lists),
        height_mm=_EDGE_MM + _ROW_MM * max(len(lists), 2),
    )


def seen_of(one: Progress) -> int:
    """How many of a list's objects were seen, whatever the entry holds."""
    return len(one.done) + len(one.lacking)


def _said(one: Progress) -> str:
    return (
        f"{TITLES[one.listed]}: {seen_of(one)} of {counted(one.total, 'object')} seen, {len(one.done)} of them with a "
        "whole entry."
    )


def _cells(one: Progress) -> tuple[str, ...]:
    counts = (one.total, seen_of(one), len(one.done), len(one.to_see))
    return (TITLES[one.listed], *(str(count) for count in counts))


def _draw(figure: "Figure", ink: Ink, lists: Sequence[Progress]) -> None:
    axes = figure.add_subplot()
    for place, one in enumerate(lists):
        whole, part = 100 * len(one.done) / one.total, 100 * len(one.lacking) / one.total
        axes.barh(place, 100, height=0.62, color=ink.paper, edgecolor=ink.grid, linewidth=0.8)
        axes.barh(place, whole, height=0.62, color=ink.first, edgecolor=ink.first, linewidth=0.8)
        axes.barh(
            place,
            part,
            left=whole,
            height=0.62,
            color=ink.shade,
            edgecolor=ink.first,
            hatch="////",
            linewidth=0.8,
        )
        axes.annotate(
            f"{seen_of(one)} of {one.total}", (100, place), xytext=(5, 0), textcoords="offset points", size=8,
            va="center_baseline", annotation_clip=False,
        )  # fmt: skip
    axes.set_xlim(0, 100)
    axes.set_ylim(len(lists) - 0.4, -0.6)
    axes.set_yticks(range(len(lists)), [TITLES[one.listed] for one in lists])
    for tick in axes.get_yticklabels():
        tick.set_color(ink.ink)
    axes.set_xticks([0, 25, 50, 75, 100])
    axes.tick_params(axis="both", length=0, labelsize=8)
    axes.spines["left"].set_visible(False)
    axes.grid(visible=False)
    axes.set_xlabel("% of the list seen; hatched: seen, but the entry lacks something", size=8)
