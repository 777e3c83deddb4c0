"""The likelihood of many set-ups' landing scales at once, from exact distances and intervals of distance together.

With Rayleigh's law the square of the distance is exponential, with rate 1 / (2 scale^2). The log-likelihood is concave
in that rate, whatever the mixture of exact distances and intervals, so it has one top and falls on both sides of it.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

HALVINGS = 40  # of a bracket some 50 wide: to 5e-11
BRACKET = 12.0  # in the logarithm of the rate, beyond the nearest and the farthest distance


@dataclass(frozen=True, slots=True, kw_only=True)
class Distances:
    """What the likelihood needs of the squared distances: per set-up (s,), and per bounded interval (m,)."""

    exact: Array  # (s,) how many are exact
    nearest_sum: Array  # (s,) sum of the squared nearest distances; of the distance itself where exact
    interval_setup: NDArray[np.intp]  # (m,) the set-up of each bounded interval
    interval_width: Array  # (m,) its length in squared distance
    bracket: tuple[Array, Array]  # (s,) log rates beyond which nothing is to be found

    def total(self, of_intervals: Array) -> Array:
        """The sum over each set-up's intervals, (s,)."""
        summed = np.bincount(self.interval_setup, weights=of_intervals, minlength=self.exact.size)
        return np.asarray(summed, dtype=float)


def distances_of(setup: NDArray[np.intp], low: Array, high: Array, setups: int) -> Distances:
    """Distances [low, high] (n,), equal where exact and endless where high is infinite, of set-ups 0..setups-1."""
    near, far = low**2, high**2
    exact = near == far
    bounded = ~exact & np.isfinite(far)
    smallest, largest = np.full(setups, np.inf), np.zeros(setups)
    for squared in (near, far):
        told = (squared > 0) & np.isfinite(squared)
        np.minimum.at(smallest, setup[told], squared[told])
        np.maximum.at(largest, setup[told], squared[told])
    nothing = largest == 0
    smallest[nothing] = largest[nothing] = 1.0
    return Distances(
        exact=np.bincount(setup[exact], minlength=setups).astype(float),
        nearest_sum=np.bincount(setup, weights=near, minlength=setups).astype(float),
        interval_setup=setup[bounded],
        interval_width=(far - near)[bounded],
        bracket=(-np.log(largest) - BRACKET, -np.log(smallest) + BRACKET),
    )


def log_likelihood(data: Distances, log_rate: Array) -> Array:
    """Log-likelihood of each set-up's log rate, (s,): exact distances by density, intervals by probability."""
    rate = np.exp(log_rate)
    inside = np.log(-np.expm1(-rate[data.interval_setup] * data.interval_width))
    return np.asarray(data.exact * log_rate - rate * data.nearest_sum + data.total(inside))


def score(data: Distances, log_rate: Array) -> Array:
    """Derivative of the log-likelihood by the log rate, (s,); it crosses zero once at most, falling."""
    rate = np.exp(log_rate)
    x = np.minimum(rate[data.interval_setup] * data.interval_width, 700.0)  # beyond, nothing is gained
    return np.asarray(data.exact - rate * data.nearest_sum + data.total(x / np.expm1(x)))


def information(data: Distances, log_rate: Array, step: float = 1e-4) -> Array:
    """Observed information about the log rate, (s,): how fast the score falls, by central difference."""
    return (score(data, log_rate - step) - score(data, log_rate + step)) / (2 * step)


def falling_root(function: Callable[[Array], Array], low: Array, high: Array) -> Array:
    """Where a function (s,) that falls crosses zero between low and high, halving all brackets at once.

    Without a crossing it gives `high` where the function stays above zero, `low` where below.
    """
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        above = function(middle) > 0
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    return (low + high) / 2
