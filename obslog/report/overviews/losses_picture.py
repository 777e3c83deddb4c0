"""What stocktakes did not find, one after the other: the share of what should have been there, with its interval."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from obslog.club.shelves.losses import FinishedCount
from obslog.english import counted
from obslog.report.overviews.cells import nothing_yet
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.picture import Picture
from obslog.report.pictures.time_axis import day_number, over_days

if TYPE_CHECKING:
    from matplotlib.figure import Figure

COLUMNS = ("finished", "should be there", "not found", "share", "from", "to")
MOST_NAMED = 8
"""Of so many stocktakes the numbers are written beside the points."""


def losses_picture(counts: Sequence[FinishedCount], trend: str) -> Picture:
    """A point for each stocktake, on its day; `trend` says in words whether the last missed more."""
    return Picture(
        name="stocktake-losses",
        title="What stocktakes did not find",
        description=f"{counted(len(counts), 'finished stocktake')}. {trend}",
        columns=COLUMNS,
        rows=tuple(_cells(one) for one in counts),
        draw=lambda figure, ink: _draw(figure, ink, counts),
        height_mm=60.0,
    )


def _cells(one: FinishedCount) -> tuple[str, ...]:
    return (
        f"{one.finished_on}",
        str(one.expected),
        str(one.not_found),
        *("" if end is None else f"{end:.1f} %" for end in (one.percent, one.low, one.high)),
    )


def _draw(figure: "Figure", ink: Ink, counts: Sequence[FinishedCount]) -> None:
    known = [one for one in counts if one.percent is not None]
    if not known:
        nothing_yet(figure, ink)
        return
    axes = figure.add_subplot()
    for one in known:
        x, percent = day_number(one.finished_on), one.percent or 0.0
        axes.plot([x, x], [one.low or 0.0, one.high or 0.0], color=ink.first, linewidth=1.6)
        axes.plot(x, percent, "o", markersize=6, color=ink.first, clip_on=False, zorder=3)
        if len(known) <= MOST_NAMED:
            words = f"{one.not_found} of {one.expected}"
            axes.annotate(words, (x, percent), xytext=(7, 0), textcoords="offset points", size=8, va="center")
    over_days(axes, [one.finished_on for one in known])
    first, last = axes.get_xlim()
    axes.set_xlim(first, last + 0.12 * (last - first))  # room for the numbers beside the last point
    top = 1.1 * max(one.high or 0.0 for one in known)
    axes.set_ylim(0, top)
    axes.grid(axis="x", visible=False)
    axes.set_ylabel("not found, %")
