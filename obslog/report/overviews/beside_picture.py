"""A member's own set-ups beside those of everybody else, mount by mount."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from obslog.club.overviews.habits import Beside
from obslog.english import counted
from obslog.estimate_words import arcmin_words
from obslog.report.overviews.cells import interval_cells
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.interval_rows import draw_interval, log_ticks, name_rows
from obslog.report.pictures.picture import Picture
from obslog.values import Interval

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

COLUMNS = (
    "mount", "your set-ups", "half land within", "from", "to", "the others' set-ups", "half land within", "from", "to",
)  # fmt: skip
_ROW_MM, _EDGE_MM = 9.0, 22.0
_APART = 0.17
_FARTHEST = 8.0  # times beyond the values does no interval reach on the axis


def beside_picture(landing: Sequence[Beside]) -> Picture:
    """Two marks for each mount: a filled dot for one's own set-ups, a hollow square for those of the others.

    An end that the data do not bound runs off the axis with an arrowhead.
    """
    return Picture(
        name="beside",
        title="Where half of the go-tos land: yours, and the others' with the same mount",
        description=_description(landing),
        columns=COLUMNS,
        rows=tuple(_cells(one) for one in landing),
        draw=lambda figure, ink: _draw(figure, ink, landing),
        height_mm=_EDGE_MM + _ROW_MM * max(len(landing), 2),
    )


def _description(landing: Sequence[Beside]) -> str:
    return " ".join(
        f"{one.what}: yours {arcmin_words(one.own.value)} from {counted(one.own.count, 'set-up')}, the others' "
        f"{_others(one)}."
        for one in landing
    )


def _others(one: Beside) -> str:
    if one.others is None:
        return "not on record"
    return f"{arcmin_words(one.others.value)} from {counted(one.others.count, 'set-up')}"


def _cells(one: Beside) -> tuple[str, ...]:
    own, others = (
        (str(side.count) if side is not None else "0", *interval_cells(side))
        for side in (one.own, one.others)
    )
    return (one.what, *own, *others)


def _draw(figure: "Figure", ink: Ink, landing: Sequence[Beside]) -> None:
    from matplotlib.ticker import FixedLocator, FuncFormatter, NullLocator

    axes = figure.add_subplot()
    values = [side.value for one in landing for side in (one.own, one.others) if side is not None]
    ends = [end for one in landing for side in (one.own, one.others) for end in _ends(side)]
    low = max(min([*values, *ends]), min(values) / _FARTHEST) / 1.15
    high = min(max([*values, *ends]), max(values) * _FARTHEST) * 1.15
    axes.set_xscale("log")
    axes.set_xlim(low, high)
    for place, one in enumerate(landing):
        _mark(axes, place - _APART, one.own, ink.first, marker="o", fill=ink.first)
        _mark(axes, place + _APART, one.others, ink.second, marker="s", fill=ink.paper)
    axes.set_ylim(len(landing) - 0.4, -0.6)
    name_rows(axes, ink, [one.what for one in landing])
    axes.xaxis.set_major_locator(FixedLocator(log_ticks(low, high)))
    axes.xaxis.set_minor_locator(NullLocator())
    axes.xaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:g}"))
    axes.tick_params(axis="x", labelsize=8)
    axes.spines["left"].set_visible(False)
    axes.grid(axis="y", visible=False)
    axes.set_xlabel(
        "half land within, arcminutes (logarithmic)\nfilled dot: you; hollow square: the others", size=8
    )


def _ends(side: Interval | None) -> list[float]:
    return [] if side is None else [end for end in (side.low, side.high) if end is not None]


def _mark(axes: "Axes", place: float, side: Interval | None, colour: str, *, marker: str, fill: str) -> None:
    if side is None:
        return
    draw_interval(axes, place, side, colour, linewidth=1.4)
    axes.plot(side.value, place, marker=marker, markersize=4.5, color=colour, markerfacecolor=fill, zorder=3)
