"""What a tube does to an object and to the sky behind it, and by how much the object then passes the eye's threshold.

A tube spreads the light of a surface over the exit pupil: object and sky become fainter alike, by the square of exit
pupil over eye pupil, while the object grows. Their contrast stays; what an eye needs of it changes.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog.optics import NARROWEST_EXIT_PUPIL_MM, WIDEST_EXIT_PUPIL_MM
from obslog.sky.contrast.threshold import (
    ZERO_MAG_LUX,
    least_contrast,
    least_star_lux,
    luminance_cd_m2,
    seen_ground_cd_m2,
)

Array = NDArray[np.float64]

# Crumey's factor from the laboratory to an observer outdoors; he finds 1.4 to 2.4 (from memory), 2 is usual.
FIELD_FACTOR, KEEN_FIELD_FACTOR = 2.0, 1.4
# One eye needs this much more light than two: M. H. Pirenne 1943, as Crumey has it, from memory.
ONE_EYE = 2**0.5
TRANSMISSION = 0.8  # common practice: mirrors, lenses and a secondary lose a fifth
_STEPS = 9
_ARCMIN2_SR = np.radians(1 / 60) ** 2


@dataclass(frozen=True)
class Views:
    """Ways to look, one element each: magnification, what is left of a surface's light, the light that a star gains.

    `eyes` is by how much the threshold is raised for looking with one eye.
    """

    magnification: Array
    dimming: Array
    gain: Array
    eyes: Array


def views_through(aperture_mm: float, magnifications: ArrayLike) -> Views:
    """A tube at some magnifications; an exit pupil wider than the eye's is cut by it."""
    power = np.atleast_1d(np.asarray(magnifications, float))
    pupil = np.minimum(aperture_mm / power, WIDEST_EXIT_PUPIL_MM)
    dimming = TRANSMISSION * (pupil / WIDEST_EXIT_PUPIL_MM) ** 2
    return Views(power, dimming, dimming * power**2, np.full(power.shape, ONE_EYE))


def usual_magnifications(aperture_mm: float) -> Array:
    """Magnifications in even ratios from an exit pupil of 7 mm to one of 0.5 mm."""
    return aperture_mm / np.geomspace(WIDEST_EXIT_PUPIL_MM, NARROWEST_EXIT_PUPIL_MM, _STEPS)


def naked_eye() -> Views:
    """Both eyes and no tube."""
    one = np.ones(1)
    return Views(one, one, one, one)


def glow_margin_mag(
    surface_mag: ArrayLike, area_arcmin2: ArrayLike, sky_mag: ArrayLike, views: Views
) -> Array:
    """By how many magnitudes an even glow of that mean surface is above the threshold, in the best of the views.

    `surface_mag` and `sky_mag` are V magnitudes per square arcsecond as they reach the ground; nan stays nan. Shape of
    the input, broadcast.
    """
    surface, area, sky = (
        np.asarray(values, float)[..., None] for values in (surface_mag, area_arcmin2, sky_mag)
    )
    ground = luminance_cd_m2(sky) * views.dimming
    needed = least_contrast(ground, area * _ARCMIN2_SR * views.magnification**2) * seen_ground_cd_m2(ground)
    light = luminance_cd_m2(surface) * views.dimming
    return np.asarray(2.5 * np.log10((light / (needed * FIELD_FACTOR * views.eyes)).max(axis=-1)))


def faintest_star_mag(sky_mag: ArrayLike, views: Views) -> Array:
    """The faintest star at the ground, in V, in the best of the views; nan stays nan. Shape of the input.

    Neglects: the seeing, which swells a star at high magnification.
    """
    ground = luminance_cd_m2(np.asarray(sky_mag, float)[..., None]) * views.dimming
    needed = least_star_lux(ground) * FIELD_FACTOR * views.eyes / views.gain
    return np.asarray((-2.5 * np.log10(needed / ZERO_MAG_LUX)).max(axis=-1))
