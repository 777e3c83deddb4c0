"""Values with their intervals, one under the other: a name, a dot on its line, and the same in words behind it."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite, log10
from statistics import median
from textwrap import wrap
from typing import TYPE_CHECKING

from obslog.intervals import NORMAL_95
from obslog.report.pictures.ink import Ink
from obslog.report.plain_text import label
from obslog.values import Estimate, Interval

if TYPE_CHECKING:
    from matplotlib.axes import Axes

ROW_MM = 6.5
NAME_LETTERS = 28
"""A name with more letters than these stands smaller, on two lines of `LINE_LETTERS`."""
LINE_LETTERS = 34
MOST_TICKS = 6
_FEWEST_TICKS = 3
_STEPS = (  # of each power of ten, tried in this order until there are enough
    (1.0, 2.0, 5.0),
    (1.0, 1.5, 2.0, 3.0, 5.0, 7.0),
    (1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0),
)
_MARGIN = 0.06
_SMALL, _SMALLEST = 8, 6.5
_LONGEST_NAME = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class IntervalRow:
    """A name, a value with its interval, or None where it is not known, and the words behind it.

    `alarming` is drawn in the colour of a warning, with another shape.
    """

    name: str
    interval: Interval | None
    words: str
    alarming: bool = False


def interval_of(estimate: Estimate) -> Interval | None:
    """The 95 % interval of an estimate; None where the data do not determine it."""
    if not (estimate.determined and isfinite(estimate.value) and isfinite(estimate.sd)):
        return None
    reach = NORMAL_95 * estimate.sd
    return Interval(estimate.value, estimate.value - reach, estimate.value + reach, estimate.count)


def ratio_row(name: str, ratio: Interval) -> IntervalRow:
    """A ratio beside 1: alarming where its whole interval is above that."""
    ends = "" if ratio.low is None or ratio.high is None else f" ({ratio.low:.2f} to {ratio.high:.2f})"
    worse = ratio.low is not None and ratio.low > 1
    return IntervalRow(name=name, interval=ratio, words=f"{ratio.value:.2f}{ends}", alarming=worse)


def draw_interval_rows(
    axes: "Axes", ink: Ink, rows: Sequence[IntervalRow], *, reference: float, logarithmic: bool = False
) -> None:
    """The rows from above; a line stands at the `reference`, which is "no difference" or "no error".

    An end that the data do not bound runs off the axis with an arrowhead.
    """
    low, high = _reach(rows, reference, logarithmic)
    if logarithmic:
        axes.set_xscale("log")
    axes.set_xlim(low, high)
    axes.axvline(reference, color=ink.soft, linewidth=0.8, zorder=1)
    for place, row in enumerate(rows):
        if row.interval is not None:
            _draw_row(axes, ink, place, row, row.interval)
        axes.text(
            1.05,
            place,
            row.words,
            transform=axes.get_yaxis_transform(),
            va="center_baseline",
            size=_SMALL,
            color=ink.ink,
        )
    axes.set_ylim(len(rows) - 0.4, -0.6)
    name_rows(axes, ink, [row.name for row in rows])
    axes.tick_params(axis="x", labelsize=_SMALL)
    axes.spines["left"].set_visible(False)
    axes.grid(axis="y", visible=False)
    _ticks(axes, low, high, logarithmic)


def name_rows(axes: "Axes", ink: Ink, names: Sequence[str]) -> None:
    """The names at the rows, long ones smaller."""
    axes.set_yticks(range(len(names)), [row_name(name) for name in names], size=_SMALL)
    for tick in axes.get_yticklabels():
        tick.set_color(ink.ink)
        tick.set_linespacing(1.0)
        if len(tick.get_text()) > NAME_LETTERS:
            tick.set_fontsize(_SMALLEST)
    axes.tick_params(axis="y", length=0)


def row_name(name: str) -> str:
    """A name on two lines at most, with its end: by that the names of one mount with several tubes are told apart."""
    whole = label(name, _LONGEST_NAME)
    lines = [whole] if len(whole) <= NAME_LETTERS else wrap(whole, LINE_LETTERS)
    return "\n".join(lines if len(lines) < 3 else [f"{lines[0][: LINE_LETTERS - 1]}…", lines[-1]])


def _draw_row(axes: "Axes", ink: Ink, place: int, row: IntervalRow, interval: Interval) -> None:
    colour = ink.warning if row.alarming else ink.first
    draw_interval(axes, place, interval, colour, linewidth=1.6)
    axes.plot(
        interval.value, place, marker="D" if row.alarming else "o", markersize=4.5, color=colour, zorder=3
    )


def draw_interval(
    axes: "Axes", place: float, interval: Interval, colour: str, *, linewidth: float, upright: bool = False
) -> None:
    """The line at a place of the other axis, whose limits are set; `upright` along that of y.

    An end that is not known, or beyond the axis, runs off it with an arrowhead.
    """
    first, last = axes.get_ylim() if upright else axes.get_xlim()
    ends = (
        first if interval.low is None else max(interval.low, first),
        last if interval.high is None else min(interval.high, last),
    )
    line = ([place, place], ends) if upright else (ends, [place, place])
    axes.plot(*line, color=colour, linewidth=linewidth, solid_capstyle="butt", zorder=2)
    for end, given, sign in zip(ends, (interval.low, interval.high), "v^" if upright else "<>", strict=True):
        if given != end:
            x, y = (place, end) if upright else (end, place)
            axes.plot(x, y, marker=sign, markersize=4, color=colour, clip_on=False, zorder=3)


def _reach(rows: Sequence[IntervalRow], reference: float, logarithmic: bool) -> tuple[float, float]:
    """An axis that holds the reference, all values, and the ends as far as they are of any use.

    One end that reaches very far would make all others a dot: beyond three times the reach of the values, or twice
    that of a usual end, it runs off.
    """
    intervals = [row.interval for row in rows if row.interval is not None]
    place = (lambda value: log10(max(value, 1e-9))) if logarithmic else float
    values = [place(reference), *(place(one.value) for one in intervals)]
    ends = [place(end) for one in intervals for end in (one.low, one.high) if end is not None]
    usual = median(abs(end - values[0]) for end in ends) if ends else 1.0
    far = max(3 * max(abs(value - values[0]) for value in values), 2 * usual)
    held = [*values, *(min(max(end, values[0] - far), values[0] + far) for end in ends)]
    low, high = min(held), max(held)
    room = _MARGIN * ((high - low) or 1.0)
    return (10 ** (low - room), 10 ** (high + room)) if logarithmic else (low - room, high + room)


def _ticks(axes: "Axes", low: float, high: float, logarithmic: bool) -> None:
    from matplotlib.ticker import FixedLocator, FuncFormatter, MaxNLocator, NullLocator

    if logarithmic:
        axes.xaxis.set_major_locator(FixedLocator(log_ticks(low, high)))
        axes.xaxis.set_minor_locator(NullLocator())
    else:
        axes.xaxis.set_major_locator(MaxNLocator(nbins=5, min_n_ticks=2))
    axes.xaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:g}".replace("-", "\u2212")))


def log_ticks(low: float, high: float) -> list[float]:
    """Round numbers inside a logarithmic axis: 1, 2, 5 of each power of ten; more of a short axis, fewer of a long."""
    powers = range(int(log10(low)) - 2, int(log10(high)) + 3)
    inside: list[float] = []
    for steps in _STEPS:
        round_numbers = [float(f"{step * 10.0**power:.6g}") for power in powers for step in steps]
        inside = [one for one in round_numbers if low <= one <= high]
        if len(inside) >= _FEWEST_TICKS:
            break
    if len(inside) > MOST_TICKS:
        inside = [one for one in inside if f"{one:e}".startswith("1")] or inside
    return inside[:: -(-len(inside) // MOST_TICKS)] if inside else [low, high]
