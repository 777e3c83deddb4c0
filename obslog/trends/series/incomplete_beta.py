"""The beta distribution's probabilities and quantiles, for arrays.

scipy has both; importing it takes longer than everything else that a checklist does, and these two are all it would be
asked for. A test holds them to scipy's. One value at a time, in plain numbers: so few are asked for that arrays would
take ten times as long.
"""

from math import exp, lgamma, log, log1p

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

MOST_TERMS, MOST_STEPS = 1000, 100
_TINY = 1e-300
_FLAT = 1e-290  # so flat that the next step would lead beyond all numbers


def beta_below(a: ArrayLike, b: ArrayLike, x: ArrayLike) -> Array:
    """The probability that a beta-distributed rate is below x, which is between 0 and 1; the arrays broadcast.

    Source: NIST Digital Library of Mathematical Functions, 8.17.22 (a continued fraction of the regularised incomplete
    beta function, quick below the mean) and 8.17.4 (its symmetry, for above the mean); evaluated as in 3.10(iii).
    """
    return np.asarray(np.vectorize(_below, otypes=[float])(a, b, x))


def beta_quantile(a: ArrayLike, b: ArrayLike, probability: float) -> Array:
    """The rate below which a beta-distributed one is with that probability.

    By Newton's way; where a step leads out of the bracket, by halving it.
    """
    return np.asarray(np.vectorize(_quantile, otypes=[float])(a, b, probability))


def _below(a: float, b: float, x: float) -> float:
    if not 0 < x < 1:
        return x  # 0 and 1; nan stays nan
    if x > (a + 1) / (a + b + 2):
        return 1 - _fraction(b, a, 1 - x)
    return _fraction(a, b, x)


def _quantile(a: float, b: float, probability: float) -> float:
    log_beta = _log_beta(a, b)
    low, high, rate = 0.0, 1.0, a / (a + b)
    for _ in range(MOST_STEPS):
        over = _below(a, b, rate) - probability
        low, high = (rate, high) if over < 0 else (low, rate)
        following = (low + high) / 2
        if 0 < rate < 1 and (density := exp((a - 1) * log(rate) + (b - 1) * log1p(-rate) - log_beta)) > _FLAT:
            newton = rate - over / density
            following = newton if low < newton < high else following
        step, rate = abs(following - rate), following
        if step <= 1e-14 * rate:
            break
    return rate


def _fraction(a: float, b: float, x: float) -> float:
    """The regularised incomplete beta function where x is below the mean, by Lentz's way with continued fractions."""
    value, upper, lower = 1.0, 1.0, 0.0
    for term in range(MOST_TERMS):
        step = term // 2
        if term == 0:
            numerator = 1.0
        elif term % 2 == 0:
            numerator = step * (b - step) * x / ((a + 2 * step - 1) * (a + 2 * step))
        else:
            numerator = -(a + step) * (a + b + step) * x / ((a + 2 * step) * (a + 2 * step + 1))
        lower = 1 / ((1 + numerator * lower) or _TINY)
        upper = (1 + numerator / upper) or _TINY
        value *= upper * lower
        if term and abs(upper * lower - 1) < 1e-15:
            break
    return exp(a * log(x) + b * log1p(-x) - _log_beta(a, b)) / a * (value - 1)


def _log_beta(a: float, b: float) -> float:
    return lgamma(a) + lgamma(b) - lgamma(a + b)
