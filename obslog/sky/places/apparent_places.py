"""Apparent topocentric places of fixed objects: where stars stand for an observer at an instant.

Vectors have their components on the first axis; hour angle west positive, azimuth from north through east.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike
from skyfield.api import wgs84
from skyfield.positionlib import Astrometric

from obslog.errors import WrongInput
from obslog.sky.names.star_tables import Star
from obslog.sky.places.kernel import Array, When, dates_checked, kernel, skyfield_time, utc_array
from obslog.sky.places.refraction import Air, refracted_alt_deg, usual_air
from obslog.sky.places.sphere import horizontal
from obslog.values import Place

_MAS = np.radians(1 / 3600e3)
_JD_J2000, _DAYS_PER_YEAR = 2451545.0, 365.25
_FAR_AWAY_MAS = 1e-6  # stands for an unknown parallax: one gigaparsec
_LIGHT_AU_PER_DAY = 173.1446326846693
_SUN = 10


class ShapesDiffer(WrongInput):
    """Objects and instants that cannot be paired."""

    def __init__(self, objects: int, instants: int) -> None:
        super().__init__(
            f"{objects} objects cannot be paired with {instants} instants.",
            "Give one object, one instant, or as many of each.",
        )


@dataclass(frozen=True)
class Directions:
    """Catalogue places of fixed objects: ICRS at epoch J2000.0, numbers or arrays with one axis.

    Proper motion in right ascension is on the sky (times cos dec). An unknown parallax or motion is zero.
    """

    ra_hours: ArrayLike
    dec_deg: ArrayLike
    pm_ra_mas_per_year: ArrayLike = 0.0
    pm_dec_mas_per_year: ArrayLike = 0.0
    parallax_mas: ArrayLike = 0.0


@dataclass(frozen=True)
class Places:
    """Apparent topocentric places, equator and equinox of date; all arrays of one shape.

    `airless_alt_deg` is without refraction, `alt_deg` with it.
    """

    ra_hours: Array
    dec_deg: Array
    hour_angle_hours: Array
    airless_alt_deg: Array
    az_deg: Array
    alt_deg: Array


def directions_of(stars: Star | Sequence[Star]) -> Directions:
    """The directions of one star, or of several as arrays."""
    if isinstance(stars, Star):
        return Directions(*_columns(stars))
    return Directions(*np.array([_columns(star) for star in stars], float).reshape(-1, 5).T)


def apparent_places(directions: Directions, when_utc: When, place: Place, air: Air | None = None) -> Places:
    """Where fixed objects stand, seen from a place at instants of UTC.

    One object at many instants, many objects at one, or as many of each (paired); the result has the shape of
    the longer, or none if both are single. `air` defaults to the usual air of the elevation. nan gives nan.

    Raises: ShapesDiffer; DateOutsideEphemeris; TimeWithoutZone.
    Source: Skyfield's IAU 2006 precession, IAU 2000B nutation, DE421 for the Earth, relativistic aberration.
    Neglects: polar motion (0.6"), UT1 after the time scale's last entry (2.6" in late 2026), light bent by
    bodies other than the Sun (0.02"), radial velocity (0.4" by 2026 for Barnard's Star, 0.05" at most else).
    """
    when = utc_array(when_utc)
    shape = _common_shape(np.shape(directions.ra_hours), when.shape)
    time = skyfield_time(when)
    with dates_checked():
        xyz = apparent_xyz(directions, observer_at(time, place), time)
    return places_of_date(of_date(xyz, time), sidereal_hours(time, place), place, air, shape)


def places_of_date(
    xyz: Array, sidereal: Array, place: Place, air: Air | None, shape: tuple[int, ...]
) -> Places:
    """Places from vectors (3, n) on equator and equinox of date, at local apparent sidereal times (hours)."""
    ra_hours = np.degrees(np.arctan2(xyz[1], xyz[0])) / 15 % 24
    dec_deg = np.degrees(np.arctan2(xyz[2], np.hypot(xyz[0], xyz[1])))
    hour_angle_hours = (sidereal - ra_hours + 12) % 24 - 12
    alt_deg, az_deg = horizontal(hour_angle_hours, dec_deg, place.lat_deg)
    seen_deg = refracted_alt_deg(alt_deg, air or usual_air(place.elevation_m))
    columns = (ra_hours, dec_deg, hour_angle_hours, alt_deg, az_deg, seen_deg)
    return Places(*(np.asarray(column).reshape(shape) for column in columns))


def apparent_xyz(directions: Directions, observer: Any, time: Any) -> Array:
    """GCRS vectors (3, n) in au of fixed objects, with proper motion, parallax, light bending, aberration."""
    position, velocity = _barycentric_au(directions)
    days = time.tdb - _JD_J2000
    vector = position + velocity * days - observer.xyz.au
    known = np.isfinite(vector).all(axis=0)
    vector = np.where(known, vector, 1.0)  # nan would upset the search for the Sun's place
    astrometric = Astrometric(vector, velocity - observer.velocity.au_per_d, time, observer.target)
    astrometric._ephemeris = kernel()
    astrometric.center_barycentric = observer
    astrometric.light_time = np.linalg.norm(vector, axis=0) / _LIGHT_AU_PER_DAY
    return np.where(known, astrometric.apparent(deflectors=(_SUN,)).xyz.au, np.nan)


def observer_at(time: Any, place: Place) -> Any:
    """The observer's place and motion in the solar system at a Skyfield time."""
    on_earth = wgs84.latlon(place.lat_deg, place.lon_deg, place.elevation_m)
    return (kernel()["earth"] + on_earth).at(time)


def of_date(xyz: Array, time: Any) -> Array:
    """GCRS vectors turned to the true equator and equinox of date."""
    return np.asarray(np.einsum("ij...,j...->i...", time.M, xyz))


def sidereal_hours(time: Any, place: Place) -> Array:
    """The local apparent sidereal time at a Skyfield time, in hours from 0 to 24."""
    return np.asarray((time.gast + place.lon_deg / 15) % 24)


def _columns(star: Star) -> tuple[float, float, float, float, float]:
    return star.ra_hours, star.dec_deg, star.pm_ra_mas_per_year, star.pm_dec_mas_per_year, star.parallax_mas


def _common_shape(objects: tuple[int, ...], instants: tuple[int, ...]) -> tuple[int, ...]:
    if objects and instants and objects != instants:
        raise ShapesDiffer(int(np.prod(objects)), int(np.prod(instants)))
    return objects or instants


def _barycentric_au(directions: Directions) -> tuple[Array, Array]:
    """Positions (au) and velocities (au a day) at J2000, each (3, n)."""
    ra = np.radians(np.atleast_1d(np.asarray(directions.ra_hours, float)) * 15)
    dec = np.radians(np.atleast_1d(np.asarray(directions.dec_deg, float)))
    parallax = np.maximum(np.asarray(directions.parallax_mas, float), _FAR_AWAY_MAS)
    distance_au = 1 / np.sin(parallax * _MAS)
    toward_east = np.array([-np.sin(ra), np.cos(ra), np.zeros_like(ra)])
    toward_north = np.array([-np.sin(dec) * np.cos(ra), -np.sin(dec) * np.sin(ra), np.cos(dec)])
    outward = np.array([np.cos(dec) * np.cos(ra), np.cos(dec) * np.sin(ra), np.sin(dec)])
    motion = toward_east * directions.pm_ra_mas_per_year + toward_north * directions.pm_dec_mas_per_year
    return outward * distance_au, motion * (_MAS / _DAYS_PER_YEAR) * distance_au
