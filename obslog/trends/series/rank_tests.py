"""Trend tests by ranks: Mann-Kendall with ties, and the correction for looking at several mounts at once."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

EXACT_UP_TO = 50


@dataclass(frozen=True, slots=True, kw_only=True)
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
    p = _exact_p(s, y.size) if untied and y.size <= EXACT_UP_TO else _normal_p(z)
    return MannKendall(s=s, variance=variance, z=z, p=p, count=int(y.size))


def kendall_variance(count: int, tied_times: Array, tied_values: Array) -> float:
    """The variance of S for `count` values, given the sizes (k,) of the groups that are tied."""
    n, t, u = float(count), tied_times, tied_values
    plain = n * (n - 1) * (2 * n + 5) - np.sum(t * (t - 1) * (2 * t + 5)) - np.sum(u * (u - 1) * (2 * u + 5))
    threes = np.sum(t * (t - 1) * (t - 2)) * np.sum(u * (u - 1) * (u - 2)) / (9 * n * (n - 1) * (n - 2))
    twos = np.sum(t * (t - 1)) * np.sum(u * (u - 1)) / (2 * n * (n - 1))
    return float(plain / 18 + threes + twos)


def adjusted_p(p: ArrayLike) -> Array:
    """p-values (k,) raised so that, of those under a level, at most that share is expected to be false; nan stays.

    Source: Y. Benjamini, Y. Hochberg, J. R. Stat. Soc. B 57 (1995) 289.
    """
    raised = np.array(p, dtype=float, ndmin=1)
    falling = np.argsort(-raised, kind="stable")
    falling = falling[np.isfinite(raised[falling])]
    rank = np.arange(falling.size, 0, -1)
    raised[falling] = np.minimum.accumulate(np.minimum(raised[falling] * falling.size / rank, 1.0))
    return raised


def _ties(values: Array) -> Array:
    sizes = np.unique(values, return_counts=True)[1]
    return sizes[sizes > 1].astype(float)


def _exact_p(s: int, count: int) -> float:
    """The chance of an S at least as far from zero, all orders of the values being equally likely.

    The number of pairs that fall is the sum of independent numbers, equally likely from 0 to k for each value k.
    """
    chance = np.ones(1)
    for k in range(2, count + 1):
        chance = np.convolve(chance, np.full(k, 1 / k))
    pairs = count * (count - 1) // 2
    return float(min(1.0, 2 * chance[: (pairs - abs(s)) // 2 + 1].sum()))


def _normal_p(z: float) -> float:
    from scipy.special import ndtr

    return float(2 * ndtr(-abs(z)))
