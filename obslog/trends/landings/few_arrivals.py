"""Logarithms of landing errors as they are compared with each other: without the bias of few arrivals."""

import numpy as np
from numpy.typing import NDArray

from obslog.trends.landings.landing_scale import LandingErrors

Array = NDArray[np.float64]
UP = 10
"""By how much values are raised before the series."""


def unbiased_logs(errors: LandingErrors) -> tuple[Array, Array]:
    """Natural logarithms of the radii (s,) without the bias of few arrivals, and their sd; nan where there are none.

    A radius from few arrivals comes out too small on average, the more so the fewer they are: a mount with one check a
    night would seem better than the same with eight. The first-order sd is 1 / sqrt(4 m) for m measured arrivals; m
    arrivals in words are worth fewer. The square of the estimated scale is a gamma variate of shape m over m, whose log
    has the mean psi(m) - ln m and the variance psi'(m). A radius that is bounded on one side only is median-unbiased
    as it is, and stays.

    Source: N. L. Johnson, S. Kotz, N. Balakrishnan, Continuous Univariate Distributions, 2nd ed. 1994, ch. 17.8.
    """
    with np.errstate(divide="ignore"):
        log_error = np.log(errors.half_arcmin)
    worth = np.maximum(0.25 / np.maximum(errors.log_sd, 1e-3) ** 2, 1.0)
    psi, psi_slope = psi_and_its_slope(worth)
    exact = 0.5 * np.sqrt(psi_slope)
    bias = np.where(errors.one_sided, 0.0, 0.5 * (psi - np.log(worth)))
    return log_error - bias, np.where(errors.one_sided, errors.log_sd, np.maximum(exact, errors.log_sd))


def psi_and_its_slope(values: Array) -> tuple[Array, Array]:
    """The logarithmic derivative of the gamma function, and the derivative of that, of values of 1 or more; nan stays.

    By the recurrence up to where the asymptotic series has twelve digits. scipy has both; importing it takes longer
    than all that is asked for here.

    Source: M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions, 1964, 6.3.5, 6.3.18, 6.4.6 and 6.4.12.
    """
    steps = values[..., None] + np.arange(UP)
    x = values + UP
    inverse = 1 / x**2
    psi = np.log(x) - 0.5 / x - inverse * (1 / 12 - inverse * (1 / 120 - inverse * (1 / 252 - inverse / 240)))
    slope = (
        1 / x + inverse / 2 + inverse / x * (1 / 6 - inverse * (1 / 30 - inverse * (1 / 42 - inverse / 30)))
    )
    return psi - (1 / steps).sum(axis=-1), slope + (1 / steps**2).sum(axis=-1)
