"""What the air does to altitudes: refraction."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from skyfield.earthlib import refract
from skyfield.earthlib import refraction as bennett

Array = NDArray[np.float64]

_FADES_FROM_DEG, _FADED_AT_DEG = -1.0, -5.0
_ROUNDS = 12
SEA_LEVEL_HPA, SCALE_HEIGHT_M, USUAL_TEMPERATURE_C = 1010.0, 9100.0, 10.0


@dataclass(frozen=True, slots=True)
class Air:
    """Pressure at the observer (not reduced to sea level) and temperature; zero pressure means no air."""

    pressure_hpa: float
    temperature_c: float = USUAL_TEMPERATURE_C


def usual_air(elevation_m: float) -> Air:
    """The air to expect at an elevation: 10 deg C, and 1010 hPa at sea level falling by 1/e every 9100 m.

    Neglects: weather; 30 hPa or 10 deg C change refraction by 3 % (0.2' at altitude 10 deg).
    """
    return Air(float(SEA_LEVEL_HPA * np.exp(-elevation_m / SCALE_HEIGHT_M)))


def refraction_deg(alt_deg: ArrayLike, air: Air) -> Array:
    """How much higher a star seen at `alt_deg` stands than it would without air, in degrees.

    Below -1 deg, where nothing is seen, it fades to nothing at -5 deg, so that no altitude jumps. Zero above 89.9 deg;
    nan stays nan.

    Source: G. G. Bennett, J. Navigation 35 (1982) 255, scaled by pressure and temperature as in NOVAS.
    Neglects: humidity and colour; above 15 deg it is 3 % more than an integrated atmosphere gives (0.08' at
    15 deg, 0.03' at 40 deg).
    """
    alt = np.asarray(alt_deg, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        bent = bennett(np.maximum(alt, _FADES_FROM_DEG), air.temperature_c, air.pressure_hpa)
    left = np.clip((alt - _FADED_AT_DEG) / (_FADES_FROM_DEG - _FADED_AT_DEG), 0.0, 1.0)
    return np.where(np.isnan(alt), np.nan, bent * left)


def refracted_alt_deg(airless_alt_deg: ArrayLike, air: Air) -> Array:
    """The altitude at which a star is seen that would stand at `airless_alt_deg` without air, in degrees.

    Solves `refraction_deg` to 0.1"; nan stays nan.
    """
    airless = np.asarray(airless_alt_deg, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        seen = np.array(refract(airless, air.temperature_c, air.pressure_hpa))
    low = airless < _FADES_FROM_DEG  # there the library leaves it unbent
    seen[low] = _solved_deg(airless[low], air)
    return seen


def airless_alt_deg(alt_deg: ArrayLike, air: Air) -> Array:
    """The altitude without air of a star seen at `alt_deg`, in degrees."""
    return np.asarray(alt_deg, float) - refraction_deg(alt_deg, air)


def _solved_deg(airless_deg: Array, air: Air) -> Array:
    """The altitude seen, found by putting it in again: refraction changes by less than 0.35 of a change of altitude."""
    seen = airless_deg
    for _ in range(_ROUNDS):
        seen = airless_deg + refraction_deg(seen, air)
    return seen
