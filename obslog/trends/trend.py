"""A mount's trend and the verdict on it, with reasons: slope, rank test, chart, season and temperature."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog.trends.charts import NIGHTS_PER_YEAR, Alarm, chart_alarms
from obslog.trends.dependence import Dependence, Season, season, temperature_dependence
from obslog.trends.ranks import adjusted_p
from obslog.trends.segments import segments_between
from obslog.trends.slopes import FEWEST_FOR_A_VERDICT, LEVEL, Slope, Verdict, theil_sen_slope, verdict_of

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Trend:
    """What a series of logarithms did: the slope since the last restart, the verdict on it and the reasons.

    `since` is the position of the first value after the last restart; `earlier` has the slopes of the segments before.
    """

    slope: Slope | None
    verdict: Verdict
    reasons: tuple[str, ...]
    count: int
    since: int
    earlier: tuple[Slope | None, ...]
    alarms: tuple[Alarm, ...]
    season: Season | None
    temperature: Dependence | None


def trend_of(
    years: ArrayLike,
    values: ArrayLike,
    restarts: Iterable[int] = (),
    temperature_c: ArrayLike | None = None,
    nights_per_year: float = NIGHTS_PER_YEAR,
) -> Trend:
    """The trend of natural logarithms (n,) of an error at times (n,) in years, rising; nan where there is none.

    Slope and verdict are of the last segment alone: what a service mended does not count against the mount any more.
    Alarms of the chart are reported with the reasons; they do not make the verdict, since one in two years is false.
    `restarts`: positions of the first value after each service.
    """
    x, y = np.asarray(years, float), np.asarray(values, float)
    places = list(restarts)
    slopes = [theil_sen_slope(x[part], y[part]) for part in segments_between(y.size, places)]
    last = segments_between(y.size, places)[-1] if y.size else slice(0, 0)
    count = int(np.isfinite(y[last]).sum())
    slope = slopes[-1] if slopes else None
    verdict = verdict_of(slope, count)
    alarms = tuple(chart_alarms(y, places, nights_per_year=nights_per_year))
    yearly = season(x, y, places)
    warmth = None if temperature_c is None else temperature_dependence(x, y, temperature_c, places)
    reasons = (
        *_slope_reasons(slope, verdict, count, last.start > 0),
        *_dependence_reasons(yearly, warmth),
    )
    return Trend(slope, verdict, reasons, count, last.start, tuple(slopes[:-1]), alarms, yearly, warmth)


def judged_together(trends: Sequence[Trend]) -> list[Trend]:
    """The trends of several mounts, with verdicts that allow for looking at all of them.

    Of those called worsening or improving at most one in twenty is expected to be steady. The reasons say so where
    that changes a verdict.

    Source: Y. Benjamini, Y. Hochberg, J. R. Stat. Soc. B 57 (1995) 289.
    """
    judged = [trend for trend in trends if trend.verdict is not Verdict.TOO_FEW]
    raised = iter(adjusted_p([trend.slope.p if trend.slope else np.nan for trend in judged]))
    return [
        trend if trend.verdict is Verdict.TOO_FEW else _judged_again(trend, float(next(raised)), len(judged))
        for trend in trends
    ]


def growth_words(per_year: float, low: float, high: float) -> str:
    """A slope of logarithms as what it does in a year: `x 1.60 a year (95 %: 1.30 to 2.00)`."""
    times, least, most = np.exp([per_year, low, high])
    return f"x {times:.2f} a year (95 %: {least:.2f} to {most:.2f})"


def _judged_again(trend: Trend, p: float, mounts: int) -> Trend:
    verdict = verdict_of(trend.slope, trend.count, p)
    if verdict is trend.verdict:
        return trend
    reason = f"{trend.verdict} on its own, but among {mounts} mounts looked at together p is {p:.2g}: it may be chance"
    return replace(trend, verdict=verdict, reasons=(*trend.reasons, reason))


def _slope_reasons(slope: Slope | None, verdict: Verdict, count: int, restarted: bool) -> list[str]:
    since = " since the last service" if restarted else ""
    set_ups = f"{count} set-up{'' if count == 1 else 's'}{since}"
    if slope is None or verdict is Verdict.TOO_FEW:
        return [f"{set_ups}; a verdict needs {FEWEST_FOR_A_VERDICT}"]
    side = {
        Verdict.WORSENING: "the whole interval is above 1",
        Verdict.IMPROVING: "the whole interval is below 1",
        Verdict.STEADY: "no change is within what chance does",
    }[verdict]
    growth = growth_words(slope.per_year, slope.low, slope.high)
    return [set_ups, f"{growth}: {side}", f"p = {slope.p:.2g} for no trend (Mann-Kendall)"]


def _dependence_reasons(yearly: Season | None, warmth: Dependence | None) -> list[str]:
    reasons = []
    if yearly is not None and yearly.dependence.p < LEVEL:
        times, found = np.exp(yearly.dependence.size.value), yearly.dependence
        reasons.append(
            f"it follows the season: x {times:.2f} at its worst, p = {found.p:.2g}; {_slope_with(found)}"
        )
    if warmth is not None and warmth.p < LEVEL:
        times = np.exp(10 * warmth.size.value)
        reasons.append(
            f"it follows the temperature: x {times:.2f} for ten degrees more, p = {warmth.p:.2g}; {_slope_with(warmth)}"
        )
    return reasons


def _slope_with(found: Dependence) -> str:
    slope, half = found.slope_per_year.value, 1.96 * found.slope_per_year.sd
    return f"beside it {growth_words(slope, slope - half, slope + half)}"
