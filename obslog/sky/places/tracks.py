"""A target followed through a span of time from one place: computed now and then, turned with the Earth in between.

On axes that do not turn with the Earth a target moves so evenly that a curve through a few of its places tells those
between. Only the turning, and where it carries the observer, is worked out for each instant: a year of hours costs a
twentieth of what it costs to compute each place afresh.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from skyfield.api import wgs84
from skyfield.earthlib import earth_rotation_angle

from obslog.sky.names.solar_system import Body
from obslog.sky.places.apparent_places import apparent_xyz, of_date
from obslog.sky.places.ephemeris import Target, geocentric_at, geometric_moon
from obslog.sky.places.kernel import (
    Array,
    Instants,
    dates_checked,
    kernel,
    time_of_utc,
    times_of_tt,
)
from obslog.values import Place

_DAYS_BETWEEN, _WANDERERS_DAYS_BETWEEN = 1.0, 0.25
_POINTS = 6  # that a curve goes through
_POWERS_OF_POINTS = np.linalg.inv(np.vander(np.arange(_POINTS), increasing=True))
_TURNS_A_DAY = 1.00273781191135448
_LIGHT_AU_A_DAY = 173.1446326846693


@dataclass(frozen=True, slots=True, kw_only=True)
class Track:
    """A target's way, seen from a place, through the span that it was made for; beyond the span it is soon wrong.

    `curves` are the coefficients (power, component, interval) of its direction from the Earth's centre, with the true
    equator of date and the origin of the Earth's rotation angle: in au for a body, of length one for what is fixed.
    `axis_au` and `equator_au` are how far the observer is from the Earth's axis and equator, zero for what is fixed.
    """

    first_tt: float
    days_between: float
    curves: Array
    longitude_turns: float
    latitude: float
    axis_au: float
    equator_au: float
    ground_speed: float

    def airless_alt_deg(self, when_utc: Instants) -> Array:
        """Altitudes without refraction, at instants of the span."""
        return self.airless_alt_az_deg(when_utc)[0]

    def airless_alt_az_deg(self, when_utc: Instants) -> tuple[Array, Array]:
        """Altitudes without refraction, and azimuths from north through east."""
        out, east, pole = self.equatorial(when_utc)
        sine, cosine = np.sin(self.latitude), np.cos(self.latitude)
        north, up = cosine * pole - sine * out, sine * pole + cosine * out
        return np.degrees(np.arctan2(up, np.hypot(north, east))), np.degrees(np.arctan2(east, north)) % 360

    def westing(self, when_utc: Instants) -> Array:
        """The sine of the hour angle: it grows through zero at the upper transit."""
        out, east, _ = self.equatorial(when_utc)
        return np.asarray(-east / np.hypot(out, east))

    def distance_au(self, when_utc: Instants) -> Array:
        """How far a body is from the observer."""
        return np.asarray(np.linalg.norm(self.equatorial(when_utc), axis=0))

    def equatorial(self, when_utc: Instants) -> Array:
        """Apparent topocentric vectors (3, n): toward the meridian on the equator, toward east and toward the pole."""
        time = time_of_utc(when_utc)
        along = ((time.whole - self.first_tt) + time.tt_fraction) / self.days_between
        interval = np.clip(along.astype(np.intp), 0, self.curves.shape[2] - 1)
        x, y, pole = self._geocentric(along, interval)
        turned = 2 * np.pi * (earth_rotation_angle(time.whole, time.ut1_fraction) + self.longitude_turns)
        cosine, sine = np.cos(turned), np.sin(turned)
        out, east, pole = x * cosine + y * sine - self.axis_au, y * cosine - x * sine, pole - self.equator_au
        east += self.ground_speed * np.sqrt(out * out + east * east + pole * pole)
        return np.array([out, east, pole])

    def _geocentric(self, along: Array, interval: Any) -> Array:
        within = along - _first_points(interval, self.curves.shape[2])
        found = self.curves[-1][:, interval]
        for power in self.curves[-2::-1]:
            found = found * within + power[:, interval]
        return np.asarray(found)


def track_of(target: Target, from_utc: np.datetime64, until_utc: np.datetime64, place: Place) -> Track:
    """The way of a single direction or a body between two instants, as `target_places` gives it to 0.02".

    Raises: DateOutsideEphemeris.
    Neglects: as `target_places`; how fast the Sun's bending of light changes within a degree of the Sun (2").
    """
    ends = time_of_utc(np.array([from_utc, until_utc], "datetime64[us]"))
    span = float(ends.tt[1] - ends.tt[0])
    wanders = isinstance(target, Body) and target is not Body.SUN
    wanted_days = _WANDERERS_DAYS_BETWEEN if wanders else _DAYS_BETWEEN
    intervals = max(_POINTS - 1, int(np.ceil(span / wanted_days)))
    time = times_of_tt(float(ends.tt[0]) + span * np.arange(intervals + 1) / intervals)
    with dates_checked():
        vectors = _geocentric_vectors(target, time)
    ground = wgs84.latlon(place.lat_deg, place.lon_deg, place.elevation_m)
    x, y, z = ground.itrs_xyz.au
    axis_au, fixed = float(np.hypot(x, y)), not isinstance(target, Body)
    return Track(
        first_tt=float(ends.tt[0]),
        days_between=span / intervals,
        curves=_curves(vectors),
        longitude_turns=place.lon_deg / 360,
        latitude=np.radians(place.lat_deg),
        axis_au=0.0 if fixed else axis_au,
        equator_au=0.0 if fixed else float(z),
        ground_speed=2 * np.pi * _TURNS_A_DAY * axis_au / _LIGHT_AU_A_DAY,
    )


def _geocentric_vectors(target: Target, time: Any) -> Array:
    """Apparent vectors (3, n) from the Earth's centre, on the axes of `Track`."""
    if target is Body.MOON:
        xyz = geometric_moon(time)
    elif isinstance(target, Body):
        xyz = geocentric_at(target, time).xyz.au
    else:
        xyz = apparent_xyz(target, kernel()["earth"].at(time), time)
        xyz = xyz / np.linalg.norm(xyz, axis=0)
    x, y, z = of_date(xyz, time)
    origin = 2 * np.pi * (time.gast / 24 - earth_rotation_angle(time.whole, time.ut1_fraction))
    cosine, sine = np.cos(origin), np.sin(origin)
    return np.array([x * cosine + y * sine, y * cosine - x * sine, z])


def _curves(vectors: Array) -> Array:
    """For each interval between two of n vectors the polynomial through the nearest six, by powers."""
    intervals = vectors.shape[1] - 1
    first = _first_points(np.arange(intervals), intervals)
    nearest = vectors[:, first[:, None] + np.arange(_POINTS)]
    return np.asarray(np.einsum("kp,cip->kci", _POWERS_OF_POINTS, nearest))


def _first_points(interval: Any, intervals: int) -> Any:
    """The first of the six points about an interval; at either end the six that there are."""
    return np.clip(interval - (_POINTS // 2 - 1), 0, intervals + 1 - _POINTS)
