"""A mount's trend and the verdict on it, with reasons: slope, rank test, chart, season and temperature."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog.english import counted
from obslog.estimate_words import p_words
from obslog.trends.series.covariates import Dependence, season, temperature_dependence
from obslog.trends.series.growth import growth_words
from obslog.trends.series.segments import segments_between
from obslog.trends.series.theil_sen import (
    FEWEST_FOR_A_VERDICT,
    LEVEL,
    WIDEST_STEADY,
    Slope,
    Verdict,
    theil_sen_slope,
    verdict_of,
)

Array = NDArray[np.float64]

TOO_WIDE = (
    f"in a year the ends would be more than {WIDEST_STEADY:.0f} times apart, and that is not called steady"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """What a series of logarithms did: the slope since the last restart, the verdict on it and the reasons.

    `since` is the position of the first value after the last restart; `count` are the values from there on, of so many
    `nights` over so many `years`, from the first to the last; `earlier` has the slopes of the segments before.
    """

    slope: Slope | None
    verdict: Verdict
    reasons: tuple[str, ...]
    count: int
    nights: int
    years: float
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
    when = x[since:][np.isfinite(y[since:])]
    nights, over_years = np.unique(when).size, _span(when)
    slope = theil_sen_slope(x[since:], y[since:])
    before = [theil_sen_slope(x[part], y[part]) for part in segments_between(since, places)]
    verdict = verdict_of(slope, nights, of_logs=unit is None)
    yearly = season(x, y, places)
    warmth = None if temperature_c is None else temperature_dependence(x, y, temperature_c, places)
    reasons = (
        _count_reason(int(when.size), nights, since_words if since else ""),
        *(
            _slope_reasons(slope, verdict, over_years, unit)
            if slope and nights >= FEWEST_FOR_A_VERDICT
            else ()
        ),
        *_dependence_reasons(yearly, warmth, _span(x[np.isfinite(y)]), unit),
    )
    return Trend(
        slope=slope,
        verdict=verdict,
        reasons=reasons,
        count=int(when.size),
        nights=nights,
        years=over_years,
        since=since,
        earlier=tuple(before),
    )


def too_few_reason(count: int, nights: int, since: str) -> str:
    """Of set-ups that are on too few nights for a verdict: `8 set-ups on 1 night; a verdict needs 6 nights`."""
    return (
        f"{on_nights(counted(count, 'set-up'), nights)}{since}; a verdict needs {FEWEST_FOR_A_VERDICT} nights"
    )


def on_nights(set_ups: str, nights: int) -> str:
    """`8 set-ups on 1 night`; nothing is on no night."""
    return f"{set_ups} on {counted(nights, 'night')}" if nights else set_ups


def _count_reason(count: int, nights: int, since: str) -> str:
    if nights < FEWEST_FOR_A_VERDICT:
        return too_few_reason(count, nights, since)
    return f"{counted(count, 'set-up')}{since}"


def _slope_reasons(slope: Slope, verdict: Verdict, years: float, unit: str | None) -> list[str]:
    unchanged = 1 if unit is None else 0
    side = {
        Verdict.WORSENING: f"the whole interval is above {unchanged}",
        Verdict.IMPROVING: f"the whole interval is below {unchanged}",
        Verdict.STEADY: "that may be chance",
        Verdict.TOO_FEW: TOO_WIDE,
    }[verdict]
    growth = growth_words(slope.per_year, years, unit)
    return [f"{growth}: {side}", f"{p_words(slope.p)} for no trend (Mann-Kendall)"]


def _span(years: Array) -> float:
    return float(np.ptp(years)) if years.size else 0.0


def _dependence_reasons(
    yearly: Dependence | None, warmth: Dependence | None, years: float, unit: str | None
) -> list[str]:
    found = []
    if yearly is not None:
        found.append(("season", yearly, yearly.size.value, "at its worst"))
    if warmth is not None:
        found.append(("temperature", warmth, 10 * warmth.size.value, "for 10 °C more"))
    return [
        f"it follows the {what}: {_change_words(change, unit)} {when}, {p_words(dependence.p)}; "
        f"with that allowed for, {growth_words(dependence.slope_per_year, years, unit)}"
        for what, dependence, change, when in found
        if dependence.p < LEVEL
    ]


def _change_words(change: float, unit: str | None) -> str:
    return f"a factor of {np.exp(change):.2f}" if unit is None else f"{change:+.2f} {unit}"
