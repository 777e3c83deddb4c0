"""The control chart: a weighted moving average of a mount's landing error, with limits from its own quiet period.

It answers "since when?" sooner than a slope does, and it says how often it is wrong: once in two years at the pace
at which the club sets the mount up.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog.trends.series.change_point import StepChange, single_step
from obslog.trends.series.run_lengths import average_sd, limit_width
from obslog.trends.series.segments import segments_between

Array = NDArray[np.float64]

SMOOTHING = 0.2
QUIET_NIGHTS = 8
FALSE_ALARM_YEARS = 2.0
NIGHTS_PER_YEAR = 12.0


@dataclass(frozen=True, slots=True)
class Chart:
    """The average and its limits at each value, (n,); nan where the chart says nothing."""

    average: Array
    centre: Array
    low: Array
    high: Array

    @property
    def side(self) -> NDArray[np.int_]:
        """+1 above the limits, -1 below, 0 inside or unknown, (n,)."""
        return np.where(self.average > self.high, 1, np.where(self.average < self.low, -1, 0))


@dataclass(frozen=True, slots=True)
class Alarm:
    """Where the average left its limits, to which side (+1 above), and the step that explains it best."""

    position: int
    side: int
    step: StepChange | None


def moving_average(values: ArrayLike, smoothing: float, start: float) -> Array:
    """Exponentially weighted moving average of values (n,); at a nan it stays where it was.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4.
    """
    y = np.asarray(values, float)
    average = np.empty(y.size)
    level = start
    for place, value in enumerate(y):
        if np.isfinite(value):
            level += smoothing * (value - level)
        average[place] = level
    return average


def chart(values: ArrayLike, centre: float, sd: float, width: float, smoothing: float = SMOOTHING) -> Chart:
    """The chart of values (n,) about a known centre with known sd; the limits widen exactly as the average's sd does.

    A nan adds nothing: average and limits stay as they were.
    """
    y = np.asarray(values, float)
    steps = np.cumsum(np.isfinite(y))
    half = width * sd * average_sd(steps, smoothing)
    average = moving_average(y, smoothing, centre)
    return Chart(average, np.full(y.size, centre), centre - half, centre + half)


def quiet_chart(
    values: ArrayLike, restarts: Iterable[int] = (), *, nights_per_year: float = NIGHTS_PER_YEAR
) -> Chart:
    """The chart of values (n,) in order of time, each segment about the mean and sd of its own first quiet nights.

    nan through the quiet nights, and throughout segments that have no more than those. The width allows for centre
    and sd being estimates. `restarts`: positions of the first value after each service.
    """
    y = np.asarray(values, float)
    parts = [_segment_chart(y[part], nights_per_year) for part in segments_between(y.size, restarts)]
    if not parts:
        return Chart(*(np.empty(0) for _ in range(4)))
    return Chart(
        np.concatenate([p.average for p in parts]), np.concatenate([p.centre for p in parts]),
        np.concatenate([p.low for p in parts]), np.concatenate([p.high for p in parts]),
    )  # fmt: skip


def chart_alarms(
    values: ArrayLike,
    restarts: Iterable[int] = (),
    *,
    nights_per_year: float = NIGHTS_PER_YEAR,
) -> list[Alarm]:
    """Where the chart of values (n,) leaves its limits: one alarm for each time it does, in order.

    `values`: natural logarithms of landing error, one a set-up, in order of time; nan where there is none. `restarts`:
    positions in `values` of the first set-up after each service. `nights_per_year`: the pace, which sets the limits for
    one false alarm in two years. The first QUIET_NIGHTS of each segment set centre and scatter and never alarm.
    Each alarm carries the likeliest step in its segment up to the end of the time spent outside.

    Neglects: that some values are better known than others; a trend already present in the quiet nights.
    """
    y = np.asarray(values, float)
    places = list(restarts)
    side = quiet_chart(y, places, nights_per_year=nights_per_year).side
    alarms: list[Alarm] = []
    for part in segments_between(y.size, places):
        before = 0
        for position in range(part.start, part.stop):
            now = int(side[position])
            if now and now != before:
                alarms.append(Alarm(position, now, _step_of(y, side, part, position)))
            before = now
    return alarms


def _segment_chart(y: Array, nights_per_year: float) -> Chart:
    unknown = np.full(y.size, np.nan)
    known = np.flatnonzero(np.isfinite(y))
    quiet = y[known[:QUIET_NIGHTS]]
    if known.size <= QUIET_NIGHTS or np.ptp(quiet) == 0:
        return Chart(unknown, unknown, unknown, unknown)
    run_length = max(1, round(FALSE_ALARM_YEARS * nights_per_year))
    width = limit_width(run_length, SMOOTHING, QUIET_NIGHTS)
    start = int(known[QUIET_NIGHTS - 1]) + 1
    watched = chart(y[start:], float(quiet.mean()), float(quiet.std(ddof=1)), width)

    def padded(a: Array) -> Array:
        return np.concatenate([unknown[:start], a])

    return Chart(padded(watched.average), padded(watched.centre), padded(watched.low), padded(watched.high))


def _step_of(y: Array, side: NDArray[np.int_], part: slice, position: int) -> StepChange | None:
    stop = position + 1
    while stop < part.stop and side[stop] == side[position]:
        stop += 1
    step = single_step(y[part.start : stop])
    if step is None:
        return None
    return StepChange(
        step.first + part.start, step.earliest + part.start, step.latest + part.start, step.change
    )
