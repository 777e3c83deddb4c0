"""Landing error: how far from the field's centre objects stand on arrival.

The two offsets of a landing, east and north, are taken as independent and normal with one scale, so that the distance
follows Rayleigh's law; half of the landings are then within 1.1774 of that scale.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog.trends.landings.likelihood import (
    Distances,
    distances_of,
    falling_root,
    information,
    log_likelihood,
    score,
)
from obslog.values import Interval

Array = NDArray[np.float64]

RESOLUTION_ARCMIN = 0.5
ONE_END = 0.025
"""How often the truth lies beyond one end of a 95 % interval."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LandingErrors:
    """Half-landing radii of set-ups (s,), in arcminutes, with the ends of their intervals; nan where there are none.

    `log_sd` is the sd of the radius's natural logarithm. An end that the data do not bound is nan: the lower one where
    every arrival may have been at the centre, the upper one where every one was lost.
    """

    count: NDArray[np.intp]
    half_arcmin: Array
    low_arcmin: Array
    high_arcmin: Array
    log_sd: Array

    @property
    def one_sided(self) -> NDArray[np.bool_]:
        """Of which set-ups the data bound the radius on one side only, (s,)."""
        result: NDArray[np.bool_] = np.isnan(self.low_arcmin) != np.isnan(self.high_arcmin)
        return result

    def interval(self, place: int) -> Interval | None:
        """The radius of one set-up; None where it has no arrivals."""
        if not self.count[place]:
            return None
        low, high = (
            None if np.isnan(end[place]) else float(end[place]) for end in (self.low_arcmin, self.high_arcmin)
        )
        return Interval(float(self.half_arcmin[place]), low, high, int(self.count[place]))


def landing_errors(
    setup: ArrayLike,
    nearest_arcmin: ArrayLike,
    farthest_arcmin: ArrayLike,
    setups: int,
    resolution_arcmin: float = RESOLUTION_ARCMIN,
) -> LandingErrors:
    """Half-landing radii by maximum likelihood of set-ups numbered 0 to setups - 1, from n arrivals of all of them.

    `setup` (n,) is each arrival's number; its distance lies between nearest and farthest (n,), which are equal where
    it was measured and come from `word_distances_arcmin` where it was told in a word. nan are left out. A measured
    distance below the resolution is taken as anything up to it. Intervals are by profile likelihood; one arrival gives
    a wide one. Where the data bound the radius on one side only, its likelihood has no top: the value is then where
    it has fallen to half, which for such data is the median-unbiased estimate, and one end is nan; the other is where
    such data have a chance of 2.5 %, and the sd is never under that of as many measured arrivals.

    Source: J. F. Lawless, Statistical Models and Methods for Lifetime Data, 2nd ed. 2003, ch. 2 to 4 (exponential
    data with intervals; likelihood-ratio intervals).
    Neglects: an offset common to all landings of a set-up, which makes the interval too narrow.
    """
    data, count = _read(setup, nearest_arcmin, farthest_arcmin, setups, resolution_arcmin)
    log_rate, log_rate_low, log_rate_high = _rates(data, count)
    half, high, low = (np.sqrt(np.log(2) / np.exp(rate)) for rate in (log_rate, log_rate_low, log_rate_high))
    with np.errstate(divide="ignore", invalid="ignore"):
        log_sd = 0.5 / np.sqrt(information(data, log_rate))
        of_the_end = np.abs(np.log(np.where(np.isnan(high), low, high) / half)) / _normal_quantile()
        one_sided = np.maximum(of_the_end, 0.5 / np.sqrt(count))
    log_sd = np.where(np.isnan(low) | np.isnan(high), one_sided, log_sd)
    return LandingErrors(
        count=count,
        half_arcmin=half,
        low_arcmin=low,
        high_arcmin=high,
        log_sd=np.where(count == 0, np.nan, log_sd),
    )


def chance_inside(half_arcmin: ArrayLike, field_arcmin: ArrayLike) -> Array:
    """The chance that an object lands inside a field of that true diameter; arrays broadcast, nan stays nan.

    The chance falls as the radius grows, so the ends of the radius's interval give the ends of the chance's.
    """
    ratio = np.asarray(field_arcmin, float) / 2 / np.asarray(half_arcmin, float)
    return np.asarray(-np.expm1(-np.log(2) * ratio**2))


def chance_inside_sd(half_arcmin: ArrayLike, log_sd: ArrayLike, field_arcmin: ArrayLike) -> Array:
    """How well that chance is known where the radius's natural logarithm is known to `log_sd`; arrays broadcast.

    By the slope of `chance_inside`. Neglects its bend: of one measured landing (log_sd 0.5) this is a third too large
    near an even chance, and a third too small where the field is a third of the radius.
    """
    ratio = np.asarray(field_arcmin, float) / 2 / np.asarray(half_arcmin, float)
    return np.asarray(2 * np.log(2) * ratio**2 * 2 ** -(ratio**2) * np.asarray(log_sd, float))


def _read(
    setup: ArrayLike, nearest: ArrayLike, farthest: ArrayLike, setups: int, resolution: float
) -> tuple[Distances, NDArray[np.intp]]:
    number = np.asarray(setup, np.intp)
    low, high = np.asarray(nearest, float), np.asarray(farthest, float)
    known = ~(np.isnan(low) | np.isnan(high))
    number, low, high = number[known], low[known], high[known]
    unresolved = (low == high) & (low < resolution)
    low, high = np.where(unresolved, 0.0, low), np.where(unresolved, resolution, high)
    return distances_of(number, low, high, setups), np.bincount(number, minlength=setups)


def _rates(data: Distances, count: NDArray[np.intp]) -> tuple[Array, Array, Array]:
    """Log rate and the low and high ends of its interval, (s,); nan for an end that is not bounded."""
    lowest, highest = data.bracket
    bounded_intervals = data.total(np.ones(data.interval_setup.size))
    never_far = (data.exact == 0) & (data.nearest_sum == 0)
    always_lost = (data.exact == 0) & (bounded_intervals == 0)
    top = falling_root(lambda rate: score(data, rate), lowest, highest)
    one_sided = never_far | always_lost
    best = np.where(one_sided, 0.0, log_likelihood(data, top))  # without a top it rises to certainty
    fall = np.where(one_sided, -np.log(ONE_END), _normal_quantile() ** 2 / 2)
    low = falling_root(lambda rate: best - fall - log_likelihood(data, rate), lowest, top)
    high = falling_root(lambda rate: log_likelihood(data, rate) - best + fall, top, highest)
    fallen_to_half = falling_root(
        lambda rate: np.where(never_far, -1, 1) * (log_likelihood(data, rate) - best + np.log(2)),
        lowest,
        highest,
    )
    none = count == 0
    value = np.where(one_sided, fallen_to_half, top)
    return (
        np.where(none, np.nan, value),
        np.where(none | always_lost, np.nan, low),
        np.where(none | never_far, np.nan, high),
    )


def _normal_quantile() -> float:
    """How many sd an end of a 95 % interval is away."""
    from scipy.special import ndtri

    return float(ndtri(0.975))
