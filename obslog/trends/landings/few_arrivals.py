"""Logarithms of landing errors as they are compared with each other: without the bias of few arrivals."""

import numpy as np
from numpy.typing import NDArray

from obslog.trends.landings.landing_scale import LandingErrors

Array = NDArray[np.float64]


def unbiased_logs(errors: LandingErrors) -> tuple[Array, Array]:
    """Natural logarithms of the radii (s,) without the bias of few arrivals, and their sd; nan where there are none.

    A radius from few arrivals comes out too small on average, the more so the fewer they are: a mount with one check a
    night would seem better than the same with eight. The first-order sd is 1 / sqrt(4 m) for m measured arrivals; m
    arrivals in words are worth fewer. The square of the estimated scale is a gamma variate of shape m over m, whose log
    has the mean psi(m) - ln m and the variance psi'(m). A radius that is bounded on one side only is median-unbiased
    as it is, and stays.

    Source: N. L. Johnson, S. Kotz, N. Balakrishnan, Continuous Univariate Distributions, 2nd ed. 1994, ch. 17.8.
    """
    from scipy.special import psi, zeta

    with np.errstate(divide="ignore"):
        log_error = np.log(errors.half_arcmin)
    worth = np.maximum(0.25 / np.maximum(errors.log_sd, 1e-3) ** 2, 1.0)
    exact = 0.5 * np.sqrt(zeta(2, worth))  # psi' is the zeta function of Hurwitz
    bias = np.where(errors.one_sided, 0.0, 0.5 * (psi(worth) - np.log(worth)))
    return log_error - bias, np.where(errors.one_sided, errors.log_sd, np.maximum(exact, errors.log_sd))
