"""What a mount's own altitude scale should be set to, so that the polar axis comes out at the latitude."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from obslog.intervals import student_t_95
from obslog.values import Estimate

FEWEST_SETUPS = 5
READABLE_ARCMIN = 12.0
"""A fifth of a degree: finer than that the scale of an adjuster is not read (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class ScaleSetting:
    """The setting in degrees and by how much the scale reads low (+) or high (-), arcminutes; scatter per night."""

    setting_deg: float
    reads_low_arcmin: Estimate
    scatter_arcmin: float


def mean_altitude_error(altitude_errors_arcmin: ArrayLike) -> tuple[Estimate, float]:
    """The mean of a mount's polar altitude errors (n,), one a set-up, and their scatter; nan is left out.

    The sd is the scatter's over the root of n, which holds both what each night was measured by and how each was set.
    Determined with FEWEST_SETUPS or more.
    """
    errors = np.asarray(altitude_errors_arcmin, float)
    errors = errors[np.isfinite(errors)]
    if errors.size < 2:
        mean = float(errors[0]) if errors.size else float("nan")
        return Estimate(mean, float("nan"), errors.size, False), float("nan")
    scatter = float(errors.std(ddof=1))
    sd = scatter / float(np.sqrt(errors.size))
    return Estimate(float(errors.mean()), sd, errors.size, errors.size >= FEWEST_SETUPS), scatter


def scale_setting(lat_deg: float, altitude_errors_arcmin: ArrayLike) -> ScaleSetting | None:
    """The setting that would have brought the axis to the pole on average; None where the latitude itself will do.

    It takes FEWEST_SETUPS set-ups, a mean of READABLE_ARCMIN or more, and one that is clear of zero by Student's t and
    larger than the scatter of single nights: with a wider one no setting would have helped.
    Neglects: nights on which the axis was set otherwise than by the scale; they draw the mean toward zero.
    """
    mean, scatter = mean_altitude_error(altitude_errors_arcmin)
    if not mean.determined:
        return None
    sure = student_t_95(mean.count - 1) * mean.sd
    if abs(mean.value) < max(READABLE_ARCMIN, sure, scatter):
        return None
    return ScaleSetting(abs(lat_deg) - mean.value / 60, mean, scatter)


def sideways_from_tilt_arcmin(
    tilt_deg: ArrayLike, lat_deg: float
) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """How far east or west, on the sky, a base tilted east or west throws an axis that is set by the scale.

    Source: a small turn about the north-south line moves the pole by its sine of the distance from that line's end,
    which is the altitude of the pole.
    Neglects: the square of the tilt, 1' at 5 deg.
    """
    return np.asarray(60.0 * np.asarray(tilt_deg, float) * np.sin(np.radians(abs(lat_deg))))
