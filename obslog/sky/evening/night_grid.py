"""Whole catalogues through a night: apparent places once, then only the Earth's turning, in blocks."""

from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray
from skyfield.earthlib import earth_rotation_angle

from obslog.errors import WrongInput
from obslog.sky.places.apparent_places import Directions, apparent_xyz, of_date, sidereal_hours
from obslog.sky.places.kernel import Array, When, dates_checked, kernel, skyfield_time, utc_array
from obslog.sky.places.refraction import Air, refracted_alt_deg
from obslog.values import Place

LONGEST_HOURS = 26.0
BLOCK = 1024  # objects at once: with 144 instants, ten arrays of 1.2 MB

_DIURNAL_ABERRATION = 1.5506e-6  # speed of the equator over the speed of light


class NightTooLong(WrongInput):
    """Instants too far apart for one set of apparent places."""

    def __init__(self, hours: float) -> None:
        super().__init__(
            f"A grid over {hours:.0f} hours is too long.",
            f"Ask for at most {LONGEST_HOURS:.0f} hours at a time.",
        )


@dataclass(frozen=True)
class GridBlock:
    """Some objects of a catalogue at all instants: airless altitude, and what lies east and north; (objects, instants).

    `first` is the place of the block's first object in the catalogue. Azimuths are worked out when they are asked for:
    who wants those of the highest instants alone need not wait for all.
    """

    first: int
    airless_alt_deg: Array
    east: Array
    north: Array

    @property
    def az_deg(self) -> Array:
        """The azimuths at all instants."""
        return _azimuth_deg(self.east, self.north)

    def az_deg_at(self, instant: NDArray[np.intp]) -> Array:
        """The azimuth of each object at its own instant, given by its place among the instants."""
        rows = np.arange(instant.size)
        return _azimuth_deg(self.east[rows, instant], self.north[rows, instant])

    def alt_deg(self, air: Air) -> Array:
        """The refracted altitudes."""
        return refracted_alt_deg(self.airless_alt_deg, air)


def night_grid(
    directions: Directions, when_utc: When, place: Place, *, block: int = BLOCK
) -> Iterator[GridBlock]:
    """Where every object of a catalogue stands at every instant of a night, block by block.

    Each block holds `block` objects, so that memory does not grow with the catalogue; time is linear in
    objects times instants.

    Raises: NightTooLong over 26 hours; DateOutsideEphemeris; TimeWithoutZone.
    Neglects: what precession, nutation, parallax and yearly aberration change within half the night: 0.25" in
    12 hours, over 1" within a degree of the Sun. The daily aberration, which turns with the Earth, is kept.
    """
    when = utc_array(when_utc).reshape(-1)
    hours = float((when.max() - when.min()) / np.timedelta64(1, "h"))
    if hours > LONGEST_HOURS:
        raise NightTooLong(hours)
    middle = skyfield_time(when.min() + (when.max() - when.min()) / 2)
    axes = _local_axes(_turned_hours(when, middle, place), place)
    with dates_checked():
        earth = kernel()["earth"].at(middle)
    for first in range(0, np.size(directions.ra_hours), block):
        xyz = apparent_xyz(_part(directions, first, first + block), earth, middle)
        unit = of_date(xyz / np.linalg.norm(xyz, axis=0), middle).T
        yield _block(first, unit, axes, place)


def _part(directions: Directions, first: int, stop: int) -> Directions:
    columns = np.broadcast_arrays(*(np.atleast_1d(getattr(directions, f.name)) for f in fields(directions)))
    return Directions(*(column[first:stop] for column in columns))


def _turned_hours(when_utc: When, middle: Any, place: Place) -> Array:
    """Local sidereal times on the equinox of the middle instant."""
    time = skyfield_time(when_utc)
    turned = earth_rotation_angle(time.whole, time.ut1_fraction)
    turned = turned - earth_rotation_angle(middle.whole, middle.ut1_fraction)
    return np.asarray(sidereal_hours(middle, place) + 24 * turned)


def _local_axes(sidereal: Array, place: Place) -> Array:
    """The directions up, north and east on the equator of date, (3, 3 instants)."""
    theta, phi = np.radians(sidereal * 15), np.full_like(sidereal, np.radians(place.lat_deg))
    up = np.array([np.cos(phi) * np.cos(theta), np.cos(phi) * np.sin(theta), np.sin(phi)])
    north = np.array([-np.sin(phi) * np.cos(theta), -np.sin(phi) * np.sin(theta), np.cos(phi)])
    east = np.array([-np.sin(theta), np.cos(theta), np.zeros_like(theta)])
    return np.concatenate([up, north, east], axis=1)


def _block(first: int, unit: Array, axes: Array, place: Place) -> GridBlock:
    up, north, east = np.split(unit @ axes, 3, axis=1)
    shift = _DIURNAL_ABERRATION * np.cos(np.radians(place.lat_deg))
    up *= 1 - shift * east  # keeps the length one, to the first order
    alt_deg = np.degrees(np.arcsin(np.clip(up, -1, 1)))
    return GridBlock(first, alt_deg, east + shift, north)


def _azimuth_deg(east: Array, north: Array) -> Array:
    return np.asarray(np.degrees(np.arctan2(east, north)) % 360)
