"""How bright the sky is at a place in it: its own light, and the Moon's, scattered by the air.

Brightness is in nanolamberts (nL), which add up; magnitudes per square arcsecond do not. Zenith distances, phase angles
and separations are in degrees, all functions take and give arrays.

Source: K. Krisciunas and B. E. Schaefer, PASP 103 (1991) 1033. The equations were written down from memory;
their numbers are the paper's as remembered.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

# Common practice for clear air near sea level, in V; the paper has 0.172 on Mauna Kea.
EXTINCTION_MAG = 0.25
MOON_RADIUS_DEG = 0.26
_NEAR_DEG = 10.0


def nanolamberts(mag_per_arcsec2: ArrayLike) -> Array:
    """Surface brightness from V magnitudes per square arcsecond (equation 1); nan stays nan."""
    return np.asarray(34.08 * np.exp(20.7233 - 0.92104 * np.asarray(mag_per_arcsec2, float)))


def mag_per_arcsec2(brightness_nl: ArrayLike) -> Array:
    """The inverse of `nanolamberts`; nan where there is no light."""
    light = np.asarray(brightness_nl, float)
    return np.asarray((20.7233 - np.log(np.where(light > 0, light, np.nan) / 34.08)) / 0.92104)


def air_path(zenith_deg: ArrayLike) -> Array:
    """How many times the air overhead is looked through (equation 3): 1 at the zenith, 5 at the horizon.

    Neglects: that starlight at the horizon passes 38 airs; above 15 deg the two differ by less than a tenth.
    """
    return np.asarray(1 / np.sqrt(1 - 0.96 * np.sin(np.radians(np.asarray(zenith_deg, float))) ** 2))


def dark_sky_nl(zenith_mag: ArrayLike, zenith_deg: ArrayLike) -> Array:
    """The sky without the Moon at a zenith distance, from its brightness at the zenith (equation 2).

    Neglects: the domes of light over towns, and the Milky Way.
    """
    path = air_path(zenith_deg)
    return nanolamberts(zenith_mag) * 10 ** (-0.4 * EXTINCTION_MAG * (path - 1)) * path


def moonlight_nl(
    phase_angle_deg: ArrayLike,
    from_moon_deg: ArrayLike,
    moon_zenith_deg: ArrayLike,
    zenith_deg: ArrayLike,
    extinction_mag: float = EXTINCTION_MAG,
) -> Array:
    """The moonlight that the air scatters toward the eye (equations 15, 20, 21); zero while the Moon is down.

    The phase angle is that at the Moon, 0 when it is full and 180 when it is new. Within 10 deg of the Moon its haze
    falls with the square of the distance; within its disc it is taken as at the rim.

    Neglects: clouds; the brighter Moon of the last hours before it is full, a third; an eclipse. The authors found
    their predictions good to a quarter.
    """
    phase = np.abs(np.asarray(phase_angle_deg, float))
    apart = np.maximum(np.asarray(from_moon_deg, float), MOON_RADIUS_DEG)
    moon_zenith = np.asarray(moon_zenith_deg, float)
    illuminance = 10 ** (-0.4 * (3.84 + 0.026 * phase + 4e-9 * phase**4))
    by_molecules = 10**5.36 * (1.06 + np.cos(np.radians(apart)) ** 2)
    by_haze = np.where(apart < _NEAR_DEG, 6.2e7 / apart**2, 10 ** (6.15 - apart / 40))
    reaches = 10 ** (-0.4 * extinction_mag * air_path(moon_zenith))
    scattered = 1 - 10 ** (-0.4 * extinction_mag * air_path(zenith_deg))
    light = (by_molecules + by_haze) * illuminance * reaches * scattered
    return np.asarray(np.where(moon_zenith < 90, light, light * 0))
