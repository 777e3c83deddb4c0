"""Landing error: how far from the field's centre objects stand on arrival.

The two offsets of a landing, east and north, are taken as independent and normal with one scale, so that the distance
follows Rayleigh's law; half of the landings are then within 1.1774 of that scale.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from obslog.values import Interval

MEDIAN_OF_RAYLEIGH = float(np.sqrt(2 * np.log(2)))


@dataclass(frozen=True, slots=True)
class LandingSummary:
    """Landing errors of one set-up, in arcminutes; `half` is the radius inside which half of the arrivals land."""

    count: int
    rms_arcmin: float
    median_arcmin: float
    half_arcmin: Interval


def landing_summary(
    east_arcmin: ArrayLike, north_arcmin: ArrayLike, confidence: float = 0.95
) -> LandingSummary | None:
    """Summarise offsets (n,) east and north; None where there are none.

    The scale's maximum-likelihood estimate is s^2 = sum r^2 / 2n, and 2n s^2 / sigma^2 follows chi-squared with 2n
    degrees of freedom, which gives the interval exactly.

    Source: N. L. Johnson, S. Kotz, N. Balakrishnan, Continuous Univariate Distributions, 2nd ed. 1994, ch. 10.8 and
    ch. 18 (the sum of squares of a Rayleigh sample is chi-squared).
    Neglects: a constant offset common to all landings of a set-up, which makes the interval too narrow.
    """
    from scipy.stats import chi2

    east, north = (
        np.atleast_1d(np.asarray(east_arcmin, float)),
        np.atleast_1d(np.asarray(north_arcmin, float)),
    )
    radius = np.hypot(east, north)
    radius = radius[np.isfinite(radius)]
    count = radius.size
    if count == 0:
        return None
    sum_of_squares = float(np.sum(radius**2))
    tail = (1 - confidence) / 2
    low, high = (np.sqrt(sum_of_squares / chi2.ppf(p, 2 * count)) for p in (1 - tail, tail))
    scale = np.sqrt(sum_of_squares / (2 * count))
    half = Interval(*(float(MEDIAN_OF_RAYLEIGH * x) for x in (scale, low, high)))
    return LandingSummary(count, float(np.sqrt(sum_of_squares / count)), float(np.median(radius)), half)
