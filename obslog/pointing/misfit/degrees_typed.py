"""Set-ups whose offsets are too small to be true: degrees, very likely, that were written for arcminutes.

No mount lands closer than it scatters. A whole night typed so makes no single arrival stand out, for the fit takes the
set-up as it is; and the night looks like the best that the mount ever had.
"""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.joint_fit.answer import PointingFit
from obslog.pointing.joint_fit.arrivals import Arrivals
from obslog.pointing.model.frames import FloatArray

MINUTES_OF_A_DEGREE = 60.0
LEAST_ARRIVALS = 3
LEVEL = 0.01
"""How often chance alone gives such a set-up among all of the mount."""
MOST_TIMES_OTHERS = 4.0
"""Sixty times as large they are at most so many times as large, or as small, as on other nights; judged."""


@dataclass(frozen=True, slots=True)
class TypedInDegrees:
    """A set-up, how many arrivals were measured in it, the largest offset as written, and how often chance does it."""

    setup: int
    arrivals: int
    largest_arcmin: float
    chance: float


def typed_in_degrees(arrivals: Arrivals, fit: PointingFit) -> list[TypedInDegrees]:
    """The set-ups whose offsets are surely smaller than the scatter, and like those of others if they were degrees.

    The sum of squares of n offsets in units of the scatter is chi-square with 2n degrees of freedom where nothing but
    scatter is at work, and larger wherever anything is.
    """
    from scipy.special import chdtr

    away = np.hypot(arrivals.offset_east_arcmin, arrivals.offset_north_arcmin)
    judged = ~np.isnan(fit.residual_east_arcmin) & ~arrivals.is_sync & np.isfinite(away)
    setups = np.unique(arrivals.setup[judged])
    medians = {int(setup): float(np.median(away[judged & (arrivals.setup == setup)])) for setup in setups}
    found = []
    for setup in medians:
        its: FloatArray = away[judged & (arrivals.setup == setup)]
        others = [median for other, median in medians.items() if other != setup]
        if its.size < LEAST_ARRIVALS or not others:
            continue
        chance = float(chdtr(2.0 * its.size, np.sum((its / fit.noise_arcmin.value) ** 2))) * len(medians)
        times = MINUTES_OF_A_DEGREE * medians[setup] / max(float(np.median(others)), 1e-9)
        if chance < LEVEL and 1.0 / MOST_TIMES_OTHERS <= times <= MOST_TIMES_OTHERS:
            found.append(TypedInDegrees(setup, its.size, float(its.max()), chance))
    return found
