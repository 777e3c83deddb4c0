"""Trend tests by ranks: Mann-Kendall with ties, and the correction for looking at several mounts at once."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

EXACT_UP_TO = 50


@dataclass(frozen=True, slots=True)
class MannKendall:
    """Pairs that rise less pairs that fall, its variance without a trend, the normal deviate, and the two-sided p."""

    s: int
    variance: float
    z: float
    p: float
    count: int


def mann_kendall(values: ArrayLike, times: ArrayLike | None = None) -> MannKendall | None:
    """Test n values, in order of time or at the given times (n,), for a steady rise or fall; nan are left out.

    Ties among values and among times (several set-ups of one night) are allowed for in the variance; the deviate has
    the continuity correction. `p` is exact without ties up to 50 values, else from the normal deviate. None with fewer
    than three values.

    Source: M. G. Kendall, Rank Correlation Methods, 4th ed. 1970, ch. 4 (variance with ties in both rankings);
    R. O. Gilbert, Statistical Methods for Environmental Pollution Monitoring, 1987, section 16.4.
    Neglects: that successive nights may resemble each other, which makes p too small.
    """
    y = np.asarray(values, float)
    x = np.arange(y.size, dtype=float) if times is None else np.asarray(times, float)
    known = np.isfinite(x) & np.isfinite(y)
    x, y = x[known], y[known]
    if y.size < 3:
        return None
    s = int(np.sum(np.triu(np.sign(np.subtract.outer(x, x)) * np.sign(np.subtract.outer(y, y)), 1)))
    ties = _ties(x), _ties(y)
    variance = kendall_variance(y.size, *ties)
    z = 0.0 if variance == 0 else float(np.sign(s) * max(abs(s) - 1, 0) / np.sqrt(variance))
    untied = ties[0].size == 0 and ties[1].size == 0
    return MannKendall(s, variance, z, _p_value(x, y, z, untied), int(y.size))


def kendall_variance(count: int, tied_times: Array, tied_values: Array) -> float:
    """The variance of S for `count` values, given the sizes (k,) of the groups that are tied."""
    n, t, u = float(count), tied_times, tied_values
    plain = n * (n - 1) * (2 * n + 5) - np.sum(t * (t - 1) * (2 * t + 5)) - np.sum(u * (u - 1) * (2 * u + 5))
    threes = np.sum(t * (t - 1) * (t - 2)) * np.sum(u * (u - 1) * (u - 2)) / (9 * n * (n - 1) * (n - 2))
    twos = np.sum(t * (t - 1)) * np.sum(u * (u - 1)) / (2 * n * (n - 1))
    return float(plain / 18 + threes + twos)


def adjusted_p(p: ArrayLike) -> Array:
    """p-values (k,) raised so that, of those under a level, at most that share is expected to be false; nan stays.

    Source: Y. Benjamini, Y. Hochberg, J. R. Stat. Soc. B 57 (1995) 289, as in scipy.stats.false_discovery_control.
    """
    from scipy.stats import false_discovery_control

    raised = np.array(p, dtype=float, ndmin=1)
    known = np.isfinite(raised)
    if known.any():
        raised[known] = false_discovery_control(raised[known])
    return raised


def _ties(values: Array) -> Array:
    sizes = np.unique(values, return_counts=True)[1]
    return sizes[sizes > 1].astype(float)


def _p_value(x: Array, y: Array, z: float, untied: bool) -> float:
    from scipy.stats import kendalltau, norm

    if untied and y.size <= EXACT_UP_TO:
        return float(kendalltau(x, y, method="exact").pvalue)
    return float(2 * norm.sf(abs(z)))
