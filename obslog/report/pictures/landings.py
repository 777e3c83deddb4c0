"""Landing errors of a mount over the months, with services and changes, the alarms and the mount's own slope."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import exp, isfinite, log
from statistics import median
from typing import TYPE_CHECKING

from obslog.club.over_time.landing_history import MountHistory, SetupHistory
from obslog.english import counted
from obslog.estimate_words import arcmin_words
from obslog.report.pictures.ink import Ink
from obslog.report.pictures.interval_rows import log_ticks
from obslog.report.pictures.picture import Picture
from obslog.report.pictures.time_axis import day_number, over_days
from obslog.report.plain_text import label
from obslog.trends.own.own_verdict import HIDING
from obslog.trends.series.growth import DAYS_A_YEAR, Grown
from obslog.values import Interval

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

COLUMNS = ("night", "set-up", "arrivals", "half land within", "from", "to")
HEIGHT_MM = 84.0
LOGARITHMIC_FROM = 8.0
"""The largest radius divided by the smallest from which the axis is logarithmic."""
SHAPES = ("o", "s", "^", "D")
"""One for each who set it up, where there are no more of them than these."""
_SERVICE, _CHANGE = "service", "change"
_LINES = {_SERVICE: "-", _CHANGE: "--"}
MANY = 100
"""From more set-ups than these on the dots are small."""
_ALARM_REACH = 0.90  # from so high up on the axis a night of alarm is marked
_NEAR = 0.17  # of the axis: words nearer than this to one another would run together
_WIDEST_SLOPE = 30.0  # from this ratio of the ends of its interval on a slope says nothing
_HIGHEST_END = 2.0  # of the largest radius: what reaches beyond runs off the axis


@dataclass(frozen=True, slots=True)
class Point:
    """A set-up whose radius is known: its day, the radius with its interval, and who set it up."""

    night: date
    half: Interval
    observer: str | None

    @property
    def day(self) -> float:
        return day_number(self.night)


def landings_picture(history: MountHistory) -> Picture:
    """The radius inside which half of each set-up's go-tos landed, with its 95 % interval, night by night."""
    return Picture(
        name="landings",
        title=f"Where half of {label(history.mount)}'s go-tos landed, set-up by set-up, with 95 % intervals",
        description=_description(history),
        columns=COLUMNS,
        rows=tuple(_row(setup) for setup in history.setups),
        draw=lambda figure, ink: _draw(figure, ink, history),
        height_mm=HEIGHT_MM,
    )


def _description(history: MountHistory) -> str:
    measured = [s for s in history.setups if s.half_arcmin is not None]
    parts = [f"{counted(len(measured), 'set-up')} with arrivals."]
    if measured:
        first, last = measured[0], measured[-1]
        parts.append(
            f"The first, on {first.setup.night}: {_radius(first)}; the last, on {last.setup.night}: {_radius(last)}."
        )
    if history.grown is not None:
        hidden = history.verdict in HIDING.values()
        told = (
            f"Whether the mount changes {history.verdict}; by itself"
            if hidden
            else f"The mount by itself is {history.verdict}:"
        )
        parts.append(f"{told} {slope_words(history.grown)}.")
    parts += [f"Mechanical service on {service.day}." for service in history.services]
    parts += [f"Its {one.change.words}, with no service on record then." for one in history.changes]
    parts += [f"Alarm on {alarm.night}." for alarm in history.alarms]
    return " ".join(parts)


def slope_words(grown: Grown) -> str:
    """What the landing error was multiplied by: `times 1.58 a year (1.26 to 1.99)`, `times 1.58 in 90 days (...)`."""
    factor = grown.factor
    ends = (
        f" ({factor.low:.2f} to {factor.high:.2f})"
        if factor.low is not None and factor.high is not None
        else ""
    )
    return f"times {factor.value:.2f} {grown.time}{ends}"


def _radius(setup: SetupHistory) -> str:
    return arcmin_words(setup.half_arcmin.value) if setup.half_arcmin is not None else "not known"


def _row(setup: SetupHistory) -> tuple[str, ...]:
    half = setup.half_arcmin
    ends = (half.value, half.low, half.high) if half is not None else (None, None, None)
    cells = ("" if end is None or not isfinite(end) else f"{end:.1f}'" for end in ends)
    return (str(setup.setup.night), str(setup.setup.setup), str(setup.arrivals), *cells)


def _draw(figure: "Figure", ink: Ink, history: MountHistory) -> None:
    axes = figure.add_subplot()
    points = [
        Point(s.setup.night, s.half_arcmin, s.observer)
        for s in history.setups
        if s.half_arcmin is not None and isfinite(s.half_arcmin.value)
    ]
    days = [s.setup.night for s in history.setups]
    axes.tick_params(labelsize=8)
    if not points:
        _draw_nothing(axes, ink)
        return
    over_days(axes, [*days, *(service.day for service in history.services if service.day >= days[0])])
    logarithmic = _set_heights(axes, points)
    line_above = _draw_slope(axes, ink, history, points)
    _draw_points(axes, ink, points, names_at=1.10 if line_above else 1.02)
    _draw_events(axes, ink, history)
    axes.set_ylabel("half land within, arcminutes" + (" (logarithmic)" if logarithmic else ""), size=8)


def _draw_nothing(axes: "Axes", ink: Ink) -> None:
    axes.set_axis_off()
    axes.text(0.5, 0.5, "nothing on record yet", transform=axes.transAxes, ha="center", color=ink.soft)


def _set_heights(axes: "Axes", points: Sequence[Point]) -> bool:
    """Heights that hold all radii, and the ends of their intervals unless those would press the rest together."""
    from matplotlib.ticker import FixedLocator, FuncFormatter, NullLocator

    values = [point.half.value for point in points]
    smallest, largest = min(values), max(values)
    ends = [_ends(point.half)[1] for point in points]
    top = 1.05 * max([largest, *(min(end, _HIGHEST_END * largest) for end in ends if end is not None)]) or 1.0
    logarithmic = smallest > 0 and largest / smallest >= LOGARITHMIC_FROM
    if logarithmic:
        lows = [point.half.low for point in points if point.half.low]
        bottom = min([smallest, *(max(low, smallest / _HIGHEST_END) for low in lows)]) / 1.05
        axes.set_yscale("log")
        axes.set_ylim(bottom, top)
        axes.yaxis.set_major_locator(FixedLocator(log_ticks(bottom, top)))
        axes.yaxis.set_minor_locator(NullLocator())
        axes.yaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:g}"))
    else:
        axes.set_ylim(0, top)
    return logarithmic


def _draw_points(axes: "Axes", ink: Ink, points: Sequence[Point], *, names_at: float) -> None:
    size = 4.0 if len(points) <= MANY else 2.5
    _draw_intervals(axes, ink, points)
    names = _names(points)
    for place, name in enumerate(names or [None]):
        own = [point for point in points if name is None or point.observer == name]
        axes.plot(
            [point.day for point in own],
            [point.half.value for point in own],
            linestyle="none",
            marker=SHAPES[place],
            markersize=size,
            color=ink.first,
            zorder=3,
            label=label(name or "", 18),
        )
    if len(names) > 1:
        axes.legend(
            loc="lower center", bbox_to_anchor=(0.5, names_at), ncols=min(len(names), 4), handletextpad=0.1,
            columnspacing=1.0, borderpad=0,
        )  # fmt: skip


def _draw_intervals(axes: "Axes", ink: Ink, points: Sequence[Point]) -> None:
    """Thin lines; where an end is not known, or beyond the axis, the line runs off it with an arrowhead."""
    bottom, top = axes.get_ylim()
    lows = [bottom if low is None else max(low, bottom) for low, _ in (_ends(point.half) for point in points)]
    highs = [top if high is None else min(high, top) for _, high in (_ends(point.half) for point in points)]
    days = [point.day for point in points]
    axes.vlines(days, lows, highs, color=ink.first, linewidth=0.7, zorder=2)
    for side, edge, sign in ((0, bottom, "v"), (1, top, "^")):
        given = [_ends(point.half)[side] for point in points]
        beyond = [
            day for day, end in zip(days, given, strict=True) if end is None or not bottom <= end <= top
        ]
        if beyond:
            axes.plot(
                beyond, [edge] * len(beyond), linestyle="none", marker=sign, markersize=3, color=ink.soft,
                clip_on=False, zorder=3,
            )  # fmt: skip


def _names(points: Sequence[Point]) -> list[str]:
    """Who set it up, where all are known and few enough to be told apart by a shape."""
    names = sorted({point.observer for point in points if point.observer is not None})
    all_known = all(point.observer is not None for point in points)
    return names if all_known and 1 < len(names) <= len(SHAPES) else []


def _draw_slope(axes: "Axes", ink: Ink, history: MountHistory, points: Sequence[Point]) -> bool:
    """The mount's own slope since it became another the last time, through the middle of those set-ups, and what
    it may be.

    Says above the axes what it draws; False where there is nothing to say.
    """
    grown = history.grown
    since = max([date.min, *(day for day, _ in _era_starts(history))])
    era = [point for point in points if point.night >= since and point.half.value > 0]
    if grown is None or len(era) < 2:
        return False
    change = grown.change
    if change.low is None or change.high is None or grown.extent > _WIDEST_SLOPE:
        _say_above(axes, ink, "too few nights to tell how fast the mount changes by itself")
        return True
    days = sorted(point.day for point in era)
    middle, level = median(days), median(log(point.half.value) for point in era)
    steps = [days[0] + (days[-1] - days[0]) * part / 40 for part in range(41)]

    def course(of_change: float) -> list[float]:
        return [exp(level + of_change * (day - middle) / (grown.days or DAYS_A_YEAR)) for day in steps]

    axes.plot(steps, course(change.value), color=ink.second, linewidth=1.6, zorder=4)
    for end in (change.low, change.high):
        axes.plot(steps, course(end), color=ink.second, linewidth=0.8, linestyle="--", zorder=4)
    told = "line" if history.verdict in HIDING.values() else history.verdict
    _say_above(axes, ink, f"{told}: by itself {slope_words(grown)}")
    return True


def _era_starts(history: MountHistory) -> list[tuple[date, str]]:
    """The days on which the mount became another, with a word for each."""
    services = [(service.day, _SERVICE) for service in history.services]
    return sorted([*services, *((changed.change.since, _CHANGE) for changed in history.changes)])


def _say_above(axes: "Axes", ink: Ink, words: str) -> None:
    axes.text(0.5, 1.02, words, transform=axes.transAxes, size=8, color=ink.second, ha="center", va="bottom")


def _draw_events(axes: "Axes", ink: Ink, history: MountHistory) -> None:
    """Lines part the eras, alarms are marked at the top; each is named where there is room for words."""
    starts = [(day_number(day), word) for day, word in _era_starts(history)]
    for day, word in starts:
        axes.axvline(day, color=ink.third, linewidth=1.2, linestyle=_LINES[word], zorder=1)
    for alarm in history.alarms:
        axes.axvline(
            day_number(alarm.night), ymin=_ALARM_REACH, color=ink.warning, linewidth=1.6, linestyle=":", zorder=4
        )  # fmt: skip
    alarms = [(day_number(one.night), "worse" if one.worse else "better") for one in history.alarms]
    _name_events(axes, ink, ink.third, starts, 0.04)
    _name_events(axes, ink, ink.warning, [(day, f"alarm: {side}") for day, side in alarms], 0.86)


def _name_events(
    axes: "Axes", ink: Ink, colour: str, events: Sequence[tuple[float, str]], height: float
) -> None:
    first, last = axes.get_xlim()
    named = float("-inf")
    for day, word in sorted(events):
        place = (day - first) / (last - first)
        if place < 0 or place - named < _NEAR:
            continue
        named = place
        left = place > 1 - _NEAR
        axes.annotate(
            word, (place, height), xycoords="axes fraction", xytext=(-3 if left else 3, 0),
            textcoords="offset points", ha="right" if left else "left", va="center", size=8, color=colour, zorder=5,
            bbox={"facecolor": ink.paper, "edgecolor": "none", "pad": 0.6},
        )  # fmt: skip


def _ends(half: Interval) -> tuple[float | None, float | None]:
    """The interval's ends, None where one is not known."""
    low, high = (end if end is not None and isfinite(end) else None for end in (half.low, half.high))
    return low, high
