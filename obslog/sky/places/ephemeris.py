"""Places of Sun, Moon and planets, and one way to ask for the places of any target.

Conventions as in places.py; bodies by name are in solar_system.py.
"""

import warnings
from dataclasses import dataclass
from typing import Any

import numpy as np
from skyfield.magnitudelib import planetary_magnitude

from obslog.sky.names.lookup import Thing
from obslog.sky.names.solar_system import Body
from obslog.sky.names.star_tables import Star
from obslog.sky.places.apparent_places import (
    Directions,
    Places,
    apparent_places,
    directions_of,
    observer_at,
    of_date,
    places_of_date,
    sidereal_hours,
)
from obslog.sky.places.kernel import Array, When, dates_checked, kernel, skyfield_time, utc_array
from obslog.sky.places.refraction import Air
from obslog.values import Place

Target = Directions | Body
"""Anything with a place in the sky: a single catalogue direction, or a body of the solar system."""

_AU_KM = 149597870.700
_KERNEL_NAMES = {
    body: f"{body.value} barycenter" for body in (Body.JUPITER, Body.SATURN, Body.URANUS, Body.NEPTUNE)
}
# Equatorial radii: IAU 2015 report on cartographic coordinates; Sun: IAU 2015 resolution B3 (from memory).
_RADIUS_KM = {
    Body.SUN: 695700.0, Body.MOON: 1737.4, Body.MERCURY: 2440.53, Body.VENUS: 6051.8, Body.MARS: 3396.19,
    Body.JUPITER: 71492.0, Body.SATURN: 60268.0, Body.URANUS: 25559.0, Body.NEPTUNE: 24764.0,
}  # fmt: skip


@dataclass(frozen=True)
class Disc:
    """How a body of the solar system looks; arrays of the shape of the instants.

    `illuminated` is the lit part of the disc (0 to 1; nan for the Sun), `magnitude` a planet's visual
    magnitude (nan for Sun and Moon).
    """

    distance_au: Array
    diameter_arcsec: Array
    phase_angle_deg: Array
    illuminated: Array
    magnitude: Array


def body_places(body: Body, when_utc: When, place: Place, air: Air | None = None) -> Places:
    """Where a body stands, seen from a place at instants of UTC (one or many); the result has their shape.

    Raises: DateOutsideEphemeris; TimeWithoutZone.
    Source: JPL DE421 with light time, light bending and aberration by Skyfield.
    Neglects: as `apparent_places`; the difference between a giant planet and the centre of its moons (0.1").
    """
    when = utc_array(when_utc)
    time = skyfield_time(when)
    with dates_checked():
        xyz = observer_at(time, place).observe(_skyfield_body(body)).apparent().xyz.au
    return places_of_date(of_date(xyz, time), sidereal_hours(time, place), place, air, when.shape)


def target_places(target: Target, when_utc: When, place: Place) -> Places:
    """Where a target of either kind stands; see `apparent_places` and `body_places`."""
    if isinstance(target, Body):
        return body_places(target, when_utc, place)
    return apparent_places(target, when_utc, place)


def astrometric_place(body: Body, when_utc: np.datetime64, place: Place) -> tuple[float, float]:
    """A body's right ascension (hours) and declination (degrees) in ICRS at one instant, without aberration.

    It is what `apparent_places` takes for a fixed object. Raises: DateOutsideEphemeris.
    """
    time = skyfield_time(utc_array(when_utc))
    with dates_checked():
        ra, dec, _ = observer_at(time, place).observe(_skyfield_body(body)).radec()
    return float(np.squeeze(ra.hours)), float(np.squeeze(dec.degrees))


def body_disc(body: Body, when_utc: When, place: Place | None = None) -> Disc:
    """How far, how large, how bright and how much lit a body is, from a place or from the Earth's centre.

    Raises: DateOutsideEphemeris; TimeWithoutZone.
    Source: magnitudes after A. Mallama and J. L. Hilton, Astronomy and Computing 25 (2018) 10, by Skyfield.
    """
    when = utc_array(when_utc)
    apparent = geocentric(body, when) if place is None else _topocentric(body, when, place)
    distance_au = apparent.distance().au
    diameter = diameter_arcsec(body, distance_au)
    if body is Body.SUN:
        phase_angle = np.full_like(distance_au, np.nan)
    else:
        phase_angle = apparent.phase_angle(kernel()["sun"]).degrees
    lit = (1 + np.cos(np.radians(phase_angle))) / 2
    columns = (distance_au, diameter, phase_angle, lit, _magnitude(body, apparent))
    return Disc(*(np.asarray(column, float).reshape(when.shape) for column in columns))


def diameter_arcsec(body: Body, distance_au: Array) -> Array:
    """How large a body looks from a distance."""
    return np.asarray(2 * np.degrees(np.arcsin(_RADIUS_KM[body] / (distance_au * _AU_KM))) * 3600)


def geocentric(body: Body, when_utc: When) -> Any:
    """A body's apparent position from the Earth's centre, as a Skyfield position with one axis of instants.

    Raises: DateOutsideEphemeris; TimeWithoutZone.
    """
    with dates_checked():
        return geocentric_at(body, skyfield_time(when_utc))


def geocentric_at(body: Body, time: Any) -> Any:
    """The same at a Skyfield time."""
    return kernel()["earth"].at(time).observe(_skyfield_body(body)).apparent()


def geometric_moon(time: Any) -> Array:
    """The vector (3, n) in au from the Earth's centre to the Moon, both where they were when the light left.

    From it an observer's own place can be taken, which from an apparent vector it cannot: the yearly aberration of the
    Moon differs by 0.3" between the Earth's centre and the ground, and is here that the Earth has moved on meanwhile.

    Neglects: that the ground is nearer to the Moon than the centre is, 0.01".
    """
    earth, moon = kernel()["earth"], kernel()["moon"]
    light_days = (moon - earth).at(time).distance().light_seconds() / 86400
    return np.asarray((moon - earth).at(time - light_days).xyz.au)


def _topocentric(body: Body, when_utc: When, place: Place) -> Any:
    with dates_checked():
        return observer_at(skyfield_time(when_utc), place).observe(_skyfield_body(body)).apparent()


def _skyfield_body(body: Body) -> Any:
    return kernel()[_KERNEL_NAMES.get(body, body.value)]


def _magnitude(body: Body, apparent: Any) -> Array:
    if body in (Body.SUN, Body.MOON):
        return np.full(apparent.t.shape, np.nan)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)
        return np.asarray(planetary_magnitude(apparent), float)


def target_of(thing: Thing) -> Target:
    """What the sky's functions ask for: directions with proper motion for a star, without for an object."""
    if isinstance(thing, Body):
        return thing
    return directions_of(thing) if isinstance(thing, Star) else Directions(thing.ra_hours, thing.dec_deg)
