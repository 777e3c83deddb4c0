"""Slopes over time: how fast something grows, without being led astray by a few bad nights."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

FEWEST_FOR_A_VERDICT = 6


class Verdict(StrEnum):
    WORSENING = "worsening"
    IMPROVING = "improving"
    STEADY = "steady"
    TOO_FEW = "too few nights"


@dataclass(frozen=True, slots=True)
class Slope:
    """A slope per year with the ends of its 95 % interval, the p-value of no trend, and the number of points."""

    per_year: float
    low: float
    high: float
    p: float
    count: int


def theil_sen_slope(years: ArrayLike, values: ArrayLike, confidence: float = 0.95) -> Slope | None:
    """The median of the slopes of all pairs; arrays (n,); nan pairs are left out.

    None with fewer than three points or with all at one time. `p` is two-sided, of Kendall's tau-b, which allows ties.

    Source: P. K. Sen, J. Am. Stat. Assoc. 63 (1968) 1379, for slope and interval; M. G. Kendall, Rank Correlation
    Methods, 4th ed. 1970, for tau-b. Both as in scipy.stats.
    """
    from scipy.stats import kendalltau, theilslopes

    x, y = np.asarray(years, float), np.asarray(values, float)
    both = np.isfinite(x) & np.isfinite(y)
    x, y = x[both], y[both]
    if x.size < 3 or np.ptp(x) == 0:
        return None
    fit = theilslopes(y, x, alpha=confidence)
    p = 1.0 if np.ptp(y) == 0 else float(kendalltau(x, y).pvalue)
    return Slope(float(fit.slope), float(fit.low_slope), float(fit.high_slope), p, int(x.size))


def verdict_of(slope: Slope | None, count: int) -> Verdict:
    """Worsening or improving where the whole interval of the slope is on that side of zero; never from few points."""
    if slope is None or count < FEWEST_FOR_A_VERDICT:
        return Verdict.TOO_FEW
    if slope.low > 0:
        return Verdict.WORSENING
    return Verdict.IMPROVING if slope.high < 0 else Verdict.STEADY
