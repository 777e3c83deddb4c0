"""Which stars may be used tonight: horizon, altitude, brightness, Moon, Sun; and an even spread of places."""

from dataclasses import dataclass

import numpy as np

from obslog.horizon import Horizon, hidden_alts_deg
from obslog.pointing.model.frames import (
    BoolArray,
    FloatArray,
    Numbers,
    az_alt_deg,
    horizontal_direction,
    hour_angle_dec_deg,
)
from obslog.pointing.model.geometry import StarPlaces, assumed_tube_west

_CROWDED_DEG, _LIKE_MAG, _CROWDED_MAG = 3.0, 1.0, 1.0
_UNNAMED_MAG = 1.5
_ALWAYS_SHOWN = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class ObservableLimits:
    """What a star must satisfy, degrees and magnitudes.

    `horizon` is what trees and houses hide; empty where nothing is in the way.
    """

    lowest_alt_deg: float = 20.0
    highest_alt_deg: float = 85.0
    faintest_magnitude: float = 3.5
    moon_deg: float = 5.0
    sun_deg: float = 30.0
    horizon: Horizon = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidates:
    """Stars to choose from, (n,); separations from Moon and Sun in degrees, nan where they do not matter.

    `hard_to_find` is how faint a star seems to who looks for it by name, in magnitudes: see `hard_to_find`.
    `shown_mag` is the faintest star that the sky shows as bright as it is then.
    """

    stars: StarPlaces
    magnitude: FloatArray
    hard_to_find: FloatArray
    moon_deg: FloatArray
    sun_deg: FloatArray
    shown_mag: float = np.inf


def hard_to_find(
    magnitude: FloatArray, named: BoolArray, ra_deg: FloatArray, dec_deg: FloatArray
) -> FloatArray:
    """Magnitudes with what makes a star hard to recognise put on, all (n,): common practice, judged.

    A star without a name of its own cannot be told to who holds the chart; a neighbour within 3 deg that is about as
    bright is taken for it.
    """
    sight = np.stack([
        np.cos(np.radians(dec_deg)) * np.cos(np.radians(ra_deg)),
        np.cos(np.radians(dec_deg)) * np.sin(np.radians(ra_deg)),
        np.sin(np.radians(dec_deg)),
    ])  # fmt: skip
    near = sight.T @ sight > np.cos(np.radians(_CROWDED_DEG))
    np.fill_diagonal(near, val=False)
    crowded = np.any(near & (magnitude < magnitude[:, None] + _LIKE_MAG), axis=1)
    return magnitude + np.where(named, 0.0, _UNNAMED_MAG) + np.where(crowded, _CROWDED_MAG, 0.0)


def admissible(candidates: Candidates, limits: ObservableLimits) -> BoolArray:
    """Which candidates satisfy the limits, shape (n,). A magnitude that is nan is not admissible."""
    az_deg, alt_deg = az_alt_deg(candidates.stars.airless())
    clear = (alt_deg >= limits.lowest_alt_deg) & (alt_deg <= limits.highest_alt_deg)
    clear &= alt_deg > hidden_alts_deg(limits.horizon, az_deg)
    clear &= candidates.magnitude <= limits.faintest_magnitude
    clear &= ~(candidates.moon_deg < limits.moon_deg) & ~(candidates.sun_deg < limits.sun_deg)
    return clear


def in_sight(candidates: Candidates, limits: ObservableLimits) -> BoolArray:
    """Which candidates satisfy the limits and are seen as bright as the sky is, shape (n,).

    The six brightest that satisfy the limits always are, so that a set-up can begin: a finder shows them.
    """
    return shown_of(candidates, admissible(candidates, limits), _ALWAYS_SHOWN)


def shown_of(candidates: Candidates, usable: BoolArray, always: int) -> BoolArray:
    """Which of the usable candidates are seen as bright as the sky is, shape (n,); so many of the brightest always."""
    brightest = np.sort(candidates.magnitude[usable])[:always]
    faintest = max([candidates.shown_mag, *brightest[-1:].tolist()])
    seen: BoolArray = usable & (candidates.magnitude <= faintest)
    return seen


def even_sky(lat_deg: float, lowest_alt_deg: float = 25.0, count: int = 200) -> StarPlaces:
    """Places spread evenly over the sky above an altitude, the tube on the usual side, refraction typical.

    Source: R. Swinbank and R. J. Purser, Fibonacci grids, Q. J. R. Meteorol. Soc. 132 (2006) 1769.
    """
    index = np.arange(count) + 0.5
    lowest = np.sin(np.radians(lowest_alt_deg))
    alt_deg = np.degrees(np.arcsin(lowest + (1.0 - lowest) * index / count))
    az_deg = (index * 360.0 * (np.sqrt(5.0) - 1.0) / 2.0) % 360.0
    hour_angle_deg, dec_deg = hour_angle_dec_deg(horizontal_direction(az_deg, alt_deg), lat_deg)
    refraction = typical_refraction_arcmin(alt_deg)
    return StarPlaces(
        hour_angle_deg, dec_deg, np.full(count, lat_deg), refraction, assumed_tube_west(hour_angle_deg)
    )


def typical_refraction_arcmin(alt_deg: Numbers) -> FloatArray:
    """How much air at 1010 hPa and 10 C raises a true altitude, arcminutes; never negative.

    Source: T. Saemundsson, Sky and Telescope 72 (1986) 70: 1.02 cot(h + 10.3 / (h + 5.11)).
    Neglects: the weather, 10 % at 30 degrees.
    """
    altitude = np.asarray(alt_deg, dtype=np.float64)
    raised = 1.02 / np.tan(np.radians(altitude + 10.3 / (altitude + 5.11)))
    return np.maximum(raised, 0.0)
