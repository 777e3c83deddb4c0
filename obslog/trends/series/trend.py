"""A mount's trend and the verdict on it, with reasons: slope, rank test, chart, season and temperature."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog.english import counted
from obslog.estimate_words import ends_words, p_words
from obslog.intervals import NORMAL_95
from obslog.trends.series.covariates import Dependence, season, temperature_dependence
from obslog.trends.series.segments import segments_between
from obslog.trends.series.theil_sen import (
    FEWEST_FOR_A_VERDICT,
    LEVEL,
    Slope,
    Verdict,
    factor_of,
    theil_sen_slope,
    verdict_of,
)
from obslog.values import Interval

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
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


def trend_of(
    years: ArrayLike,
    values: ArrayLike,
    restarts: Iterable[int] = (),
    temperature_c: ArrayLike | None = None,
    unit: str | None = None,
    since_words: str = "",
) -> Trend:
    """The trend of natural logarithms (n,) of an error at times (n,) in years, rising; nan where there is none.

    With a `unit` the values are sizes in that unit instead (of cone error, squareness, sag), and the reasons say so.

    Slope and verdict are of the last segment alone: what a service mended does not count against the mount any more.
    `restarts`: positions of the first value after each service or change; n where that came after all of them.
    `since_words` say since when set-ups count, where there was one: ` since the last service`.
    """
    x, y = np.asarray(years, float), np.asarray(values, float)
    places = list(restarts)
    since = min(max([0, *places]), y.size)
    count = int(np.isfinite(y[since:]).sum())
    slope = theil_sen_slope(x[since:], y[since:])
    before = [theil_sen_slope(x[part], y[part]) for part in segments_between(since, places)]
    verdict = verdict_of(slope, count)
    yearly = season(x, y, places)
    warmth = None if temperature_c is None else temperature_dependence(x, y, temperature_c, places)
    reasons = (
        *_slope_reasons(slope, verdict, count, since_words if since else "", unit),
        *_dependence_reasons(yearly, warmth, unit),
    )
    return Trend(
        slope=slope,
        verdict=verdict,
        reasons=reasons,
        count=count,
        since=since,
        earlier=tuple(before),
    )


def growth_words(slope: Interval, unit: str | None = None) -> str:
    """A slope of logarithms as what it multiplies by in a year, a slope of sizes in its unit; with its interval."""
    if unit is not None:
        return f"{slope.value:+.2f} {unit} a year ({ends_words(slope, '+.2f')})"
    factor = factor_of(slope)
    return f"a factor of {factor.value:.2f} a year ({ends_words(factor)})"


def _slope_reasons(
    slope: Slope | None, verdict: Verdict, count: int, since: str, unit: str | None
) -> list[str]:
    set_ups = f"{counted(count, 'set-up')}{since}"
    if slope is None or verdict is Verdict.TOO_FEW:
        return [f"{set_ups}; a verdict needs {FEWEST_FOR_A_VERDICT}"]
    unchanged = 1 if unit is None else 0
    side = {
        Verdict.WORSENING: f"the whole interval is above {unchanged}",
        Verdict.IMPROVING: f"the whole interval is below {unchanged}",
        Verdict.STEADY: "that may be chance",
    }[verdict]
    growth = growth_words(slope.per_year, unit)
    return [set_ups, f"{growth}: {side}", f"{p_words(slope.p)} for no trend (Mann-Kendall)"]


def _dependence_reasons(yearly: Dependence | None, warmth: Dependence | None, unit: str | None) -> list[str]:
    found = []
    if yearly is not None:
        found.append(("season", yearly, yearly.size.value, "at its worst"))
    if warmth is not None:
        found.append(("temperature", warmth, 10 * warmth.size.value, "for 10 °C more"))
    return [
        f"it follows the {what}: {_change_words(change, unit)} {when}, {p_words(dependence.p)}; "
        f"with that allowed for, {_slope_words(dependence, unit)}"
        for what, dependence, change, when in found
        if dependence.p < LEVEL
    ]


def _change_words(change: float, unit: str | None) -> str:
    return f"a factor of {np.exp(change):.2f}" if unit is None else f"{change:+.2f} {unit}"


def _slope_words(found: Dependence, unit: str | None) -> str:
    slope, half = found.slope_per_year.value, NORMAL_95 * found.slope_per_year.sd
    return growth_words(Interval(slope, slope - half, slope + half, found.slope_per_year.count), unit)
