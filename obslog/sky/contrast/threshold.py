"""The least contrast that a dark-adapted eye tells from an even background, by the background and the object's size.

Luminances are in cd/m², solid angles in steradians, and contrast is the object's light over the background's.

Source: A. Crumey, MNRAS 442 (2014) 2600, who fits H. R. Blackwell, J. Opt. Soc. Am. 36 (1946) 624 (two eyes, no limit
of time). The formula and its constants were written down from memory; they give the paper's limits for stars, as
tests/published holds them.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

# Common practice: 0 mag per square arcsecond, as sky meters count it; 1 % uncertain.
ZERO_MAG_CD_M2 = 10.8e4
ZERO_MAG_LUX = 2.54e-6  # of a star of V magnitude 0 above the air; as Crumey has it, from memory

# Below this the eye's own darkness is the background: here the formula gives a star of magnitude 8.4, about the
# faintest that H. N. Russell found for a wholly dark ground, 8.5 (Astrophys. J. 45 (1917) 60, from memory).
DARKEST_CD_M2 = 1e-5
# The fit is of night vision, to a sky of 16.8 magnitudes per square arcsecond; beyond it the contrast that is needed
# stays (Weber's law).
BRIGHTEST_CD_M2 = 0.02


def luminance_cd_m2(mag_per_arcsec2: ArrayLike) -> Array:
    """Luminance from V magnitudes per square arcsecond."""
    return np.asarray(ZERO_MAG_CD_M2 * 10 ** (-0.4 * np.asarray(mag_per_arcsec2, float)))


def seen_ground_cd_m2(background_cd_m2: ArrayLike) -> Array:
    """The background that the eye works against: never darker than its own darkness; nan stays nan."""
    return np.asarray(np.maximum(np.asarray(background_cd_m2, float), DARKEST_CD_M2))


def least_contrast(background_cd_m2: ArrayLike, area_sr: ArrayLike) -> Array:
    """The contrast seen half of the time in a laboratory, for even discs; outdoors more is needed: through_tube.py.

    Small discs need a fixed amount of light (Ricco), large ones a fixed contrast; between them
    C = ((R/A)^q + C0^q)^(1/q).
    """
    ground = _within_fit(background_cd_m2)
    q = 1.146 - 0.0885 * np.log10(ground)
    of_large = 7.633e-3 * ground**-0.25 - 7.174e-3
    return np.asarray(((_ricco_sr(ground) / np.asarray(area_sr, float)) ** q + of_large**q) ** (1 / q))


def least_star_lux(background_cd_m2: ArrayLike) -> Array:
    """The light of the faintest point that is seen half of the time in a laboratory, at the eye."""
    return _ricco_sr(_within_fit(background_cd_m2)) * seen_ground_cd_m2(background_cd_m2)


def _within_fit(background_cd_m2: ArrayLike) -> Array:
    return np.asarray(np.clip(np.asarray(background_cd_m2, float), DARKEST_CD_M2, BRIGHTEST_CD_M2))


def _ricco_sr(ground_cd_m2: Array) -> Array:
    """R in R/A: the contrast of a small disc times its area."""
    return np.asarray((6.505e-4 * ground_cd_m2**-0.25 - 8.461e-4) ** 2)
