"""The beta distribution's probabilities and quantiles, for arrays.

scipy has both; importing it takes longer than everything else that a checklist does, and these two are all it would be
asked for. A test holds them to scipy's.
"""

from math import lgamma

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

MOST_TERMS, MOST_STEPS = 1000, 100


def beta_below(a: ArrayLike, b: ArrayLike, x: ArrayLike) -> Array:
    """The probability that a beta-distributed rate is below x, which is between 0 and 1; the arrays broadcast.

    Source: NIST Digital Library of Mathematical Functions, 8.17.22 (a continued fraction of the regularised incomplete
    beta function, quick below the mean) and 8.17.4 (its symmetry, for above the mean); evaluated as in 3.10(iii).
    """
    first, second, at = np.broadcast_arrays(*(np.asarray(value, float) for value in (a, b, x)))
    above = at > (first + 1) / (first + second + 2)
    small = _fraction(
        np.where(above, second, first), np.where(above, first, second), np.where(above, 1 - at, at)
    )
    return np.asarray(np.where(above, 1 - small, small))


def beta_quantile(a: ArrayLike, b: ArrayLike, probability: float) -> Array:
    """The rate below which a beta-distributed one is with that probability.

    By Newton's way; where a step leads out of the bracket, by halving it.
    """
    first, second = np.broadcast_arrays(np.asarray(a, float), np.asarray(b, float))
    log_beta = _log_beta(first, second)
    low, high, rate = np.zeros(first.shape), np.ones(first.shape), first / (first + second)
    for _ in range(MOST_STEPS):
        over = beta_below(first, second, rate) - probability
        low, high = np.where(over < 0, rate, low), np.where(over < 0, high, rate)
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            density = np.exp((first - 1) * np.log(rate) + (second - 1) * np.log1p(-rate) - log_beta)
            newton = rate - over / density
        inside = (newton > low) & (newton < high)
        following = np.where(inside, newton, (low + high) / 2)
        step, rate = np.abs(following - rate), following
        if np.all(step <= 1e-14 * rate):
            break
    return np.asarray(rate)


def _fraction(a: Array, b: Array, x: Array) -> Array:
    """The regularised incomplete beta function where x is below the mean, by Lentz's way with continued fractions."""
    tiny = 1e-300
    with np.errstate(divide="ignore"):
        front = np.exp(a * np.log(x) + b * np.log1p(-x) - _log_beta(a, b)) / a
    value, upper, lower = np.ones_like(x), np.ones_like(x), np.zeros_like(x)
    for term in range(MOST_TERMS):
        step = term // 2
        if term == 0:
            numerator = np.ones_like(x)
        elif term % 2 == 0:
            numerator = step * (b - step) * x / ((a + 2 * step - 1) * (a + 2 * step))
        else:
            numerator = -(a + step) * (a + b + step) * x / ((a + 2 * step) * (a + 2 * step + 1))
        lower = 1 + numerator * lower
        lower = 1 / np.where(np.abs(lower) < tiny, tiny, lower)
        upper = 1 + numerator / upper
        upper = np.where(np.abs(upper) < tiny, tiny, upper)
        value = value * upper * lower
        if term and np.all(np.abs(upper * lower - 1) < 1e-15):
            break
    return np.asarray(front * (value - 1))


def _log_beta(a: Array, b: Array) -> Array:
    each = [
        lgamma(p) + lgamma(q) - lgamma(p + q)
        for p, q in zip(a.ravel().tolist(), b.ravel().tolist(), strict=True)
    ]
    return np.array(each).reshape(a.shape)
