"""Slopes over time: how fast something grows, without being led astray by a few bad nights."""

from dataclasses import dataclass
from enum import StrEnum
from math import exp, log

import numpy as np
from numpy.typing import ArrayLike

from obslog.intervals import NORMAL_95
from obslog.trends.series.rank_tests import mann_kendall
from obslog.values import Interval

FEWEST_FOR_A_SLOPE = 3
FEWEST_FOR_A_VERDICT = 6
"""Nights, not set-ups: what several set-ups of one night have in common looks like the mount."""
LEVEL = 0.05
WIDEST_STEADY = 30.0
"""The ratio of the ends of a year's factor beyond which it may be anything: that is not called steady."""


class Verdict(StrEnum):
    WORSENING = "worsening"
    IMPROVING = "improving"
    STEADY = "steady"
    TOO_FEW = "too few nights"
    CANNOT_TELL = "cannot be told from its users"
    CANNOT_TELL_TUBES = "cannot be told from its tubes"
    CANNOT_TELL_SITES = "cannot be told from its sites"


@dataclass(frozen=True, slots=True)
class Slope:
    """A slope per year, from so many points, and the p-value of no trend."""

    per_year: Interval
    p: float


def factor_of(logs: Interval) -> Interval:
    """What a difference of natural logarithms multiplies by."""
    low, high = (None if end is None else exp(end) for end in (logs.low, logs.high))
    return Interval(exp(logs.value), low, high, logs.count)


def theil_sen_slope(years: ArrayLike, values: ArrayLike) -> Slope | None:
    """The median of the slopes of all pairs; arrays (n,); nan pairs are left out.

    None with fewer than three times (nights): two would make any change a trend. `p` is two-sided, of the Mann-Kendall
    test. An end is None where even the outermost of so few slopes would cover less than 95 %: of three nights and four.

    Source: P. K. Sen, J. Am. Stat. Assoc. 63 (1968) 1379, for slope and interval.
    Neglects: that some values are better known than others.
    """
    x, y = np.asarray(years, float), np.asarray(values, float)
    both = np.isfinite(x) & np.isfinite(y)
    x, y = x[both], y[both]
    test = mann_kendall(y, x)
    if test is None or np.unique(x).size < FEWEST_FOR_A_SLOPE:
        return None
    later, earlier = np.nonzero(np.subtract.outer(x, x) > 0)
    slopes = np.sort((y[later] - y[earlier]) / (x[later] - x[earlier]))
    reach = NORMAL_95 * np.sqrt(test.variance)
    low, high = round((slopes.size - reach) / 2) - 1, round((slopes.size + reach) / 2)
    least = float(slopes[low]) if low >= 0 else None
    most = float(slopes[high]) if high < slopes.size else None
    return Slope(Interval(float(np.median(slopes)), least, most, int(x.size)), test.p)


def verdict_of(slope: Slope | None, nights: int, *, of_logs: bool = True) -> Verdict:
    """Worsening or improving where the slope's whole interval is on that side of zero and p is under 0.05.

    Never from few nights. Of a slope of logarithms it is steady only where that is narrow enough to say so.
    """
    if slope is None or nights < FEWEST_FOR_A_VERDICT:
        return Verdict.TOO_FEW
    low, high = slope.per_year.low, slope.per_year.high
    if slope.p < LEVEL and low is not None and low > 0:
        return Verdict.WORSENING
    if slope.p < LEVEL and high is not None and high < 0:
        return Verdict.IMPROVING
    return Verdict.STEADY if not of_logs or narrow_enough(slope.per_year) else Verdict.TOO_FEW


def narrow_enough(per_year: Interval) -> bool:
    """Whether the interval of a slope of logarithms, where it holds no change, allows to speak of no change."""
    low, high = per_year.low, per_year.high
    return low is not None and high is not None and high - low <= log(WIDEST_STEADY)
