"""Where stars stand over a site, airless and refracted, for many arrivals; only this file uses Skyfield."""

import warnings
from collections.abc import Sequence
from datetime import datetime

import numpy as np
from numpy.typing import NDArray
from skyfield.api import Loader, wgs84
from skyfield.earthlib import refraction
from skyfield_data import get_skyfield_data_path

Floats = NDArray[np.float64]

LIGHT_KM_PER_S = 299_792.458
AIR_TEMPERATURE_C = 10.0
AIR_PRESSURE_HPA = 1010.0


def catalogue_direction(ra_hours: Floats, dec_deg: Floats) -> Floats:
    """Unit vectors (n, 3) in the ICRS."""
    ra, dec = np.radians(15.0 * ra_hours), np.radians(dec_deg)
    return np.stack([np.cos(dec) * np.cos(ra), np.cos(dec) * np.sin(ra), np.sin(dec)], axis=-1)


def airless_directions(
    lat_deg: float,
    lon_deg: float,
    elevation_m: float,
    ra_hours: Floats,
    dec_deg: Floats,
    utc: Sequence[datetime],
) -> Floats:
    """Unit vectors (n, 3) to north, east and up of n stars at n instants, without refraction.

    Precession, nutation and aberration are in. Neglects parallax and the bending of light by the Sun,
    together under 0.02' at night.
    """
    with warnings.catch_warnings():
        # A table of Earth rotation beside the kernel is out of date; it is not used here.
        warnings.simplefilter("ignore")
        loader = Loader(get_skyfield_data_path(), verbose=False)
        kernel = loader("de421.bsp")
    try:
        times = loader.timescale(builtin=True).from_datetimes(list(utc))
        site = wgs84.latlon(lat_deg, lon_deg, elevation_m=elevation_m)
        speed = (kernel["earth"] + site).at(times).velocity.km_per_s / LIGHT_KM_PER_S
        turn = site.rotation_at(times)
    finally:
        kernel.close()
    shifted = aberrated(catalogue_direction(ra_hours, dec_deg), np.moveaxis(speed, 0, -1))
    local = np.einsum("ijn,nj->ni", turn, shifted)
    return np.asarray(local / np.linalg.norm(local, axis=-1, keepdims=True))


def aberrated(direction: Floats, speed: Floats) -> Floats:
    """Unit vectors (n, 3) as seen by an observer moving at `speed` (n, 3), in units of that of light.

    Source: the exact special-relativity formula, as in Explanatory Supplement (1992), equation 3.252-3.
    """
    along = np.sum(direction * speed, axis=-1, keepdims=True)
    shrink = np.sqrt(1.0 - np.sum(speed**2, axis=-1, keepdims=True))
    return np.asarray((shrink * direction + speed + along * speed / (1.0 + shrink)) / (1.0 + along))


def refracted(direction: Floats) -> Floats:
    """The same directions (n, 3) lifted by the air, at 10 C and 1010 hPa.

    Source: Bennett (1982) as Skyfield has it, solved for the airless altitude by iteration.
    """
    airless_deg = np.degrees(np.arcsin(np.clip(direction[..., 2], -1.0, 1.0)))
    seen_deg = airless_deg
    for _ in range(6):
        seen_deg = airless_deg + refraction(seen_deg, AIR_TEMPERATURE_C, AIR_PRESSURE_HPA)
    alt, az = np.radians(seen_deg), np.arctan2(direction[..., 1], direction[..., 0])
    return np.stack([np.cos(alt) * np.cos(az), np.cos(alt) * np.sin(az), np.sin(alt)], axis=-1)
