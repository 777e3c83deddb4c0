"""Where the pole star stands about the refracted pole, for setting a polar axis by it.

Dials: 12 o'clock is straight up, hours run clockwise as seen by eye when facing the pole.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from obslog.sky.names.star_tables import Star
from obslog.sky.names.stars import find_star
from obslog.sky.places.apparent_places import apparent_places, directions_of
from obslog.sky.places.kernel import Array, When
from obslog.sky.places.refraction import Air, refracted_alt_deg, usual_air
from obslog.sky.places.sphere import position_angle_deg, separation_deg
from obslog.values import Place

NORTHERN, SOUTHERN = "Polaris", "Polaris Australis"

_SIDEREAL_DEG_PER_MINUTE = 360.9856473 / 1440  # of ordinary time; 15.0410686" a second


@dataclass(frozen=True, kw_only=True)
class PoleStar:
    """The pole star of the nearer pole at some instants; arrays of their shape.

    `distance_arcmin` is the angle between the star and the pole, both as refraction shows them;
    `position_angle_deg` the star's direction from that pole, from straight up, clockwise as seen by eye. The
    three dials give the same direction in hours from 0 to 12: by eye, in a straight-through polar scope
    (turned upside down), and in a right-angle one (up is up, left and right are swapped).
    """

    star: Star
    alt_deg: Array
    az_deg: Array
    pole_alt_deg: float
    distance_arcmin: Array
    hour_angle_hours: Array
    position_angle_deg: Array
    dial_by_eye_hours: Array
    dial_inverted_hours: Array
    dial_mirrored_hours: Array


def pole_star(when_utc: When, place: Place, air: Air | None = None) -> PoleStar:
    """The pole star as seen from a place: Polaris from the equator north, Polaris Australis (σ Octantis) south of it.

    At the Earth's poles themselves "up" has no direction and the dials follow the hour angle.

    Raises: DateOutsideEphemeris; TimeWithoutZone.
    Source: apparent places of places.py; the refracted pole stands at the latitude raised by refraction.
    Neglects: as `apparent_places`; the plumb line's deviation from the ellipsoid's normal (under 1').
    """
    north = place.lat_deg >= 0
    star = find_star(NORTHERN if north else SOUTHERN)
    seen = apparent_places(directions_of(star), when_utc, place, air)
    pole_alt_deg = float(refracted_alt_deg(abs(place.lat_deg), air or usual_air(place.elevation_m)))
    pole = (0.0 if north else 180.0, pole_alt_deg)
    angle_deg = position_angle_deg(*pole, seen.az_deg, seen.alt_deg)
    by_eye = angle_deg / 30
    return PoleStar(
        star=star,
        alt_deg=seen.alt_deg,
        az_deg=seen.az_deg,
        pole_alt_deg=pole_alt_deg,
        distance_arcmin=60 * separation_deg(*pole, seen.az_deg, seen.alt_deg),
        hour_angle_hours=seen.hour_angle_hours,
        position_angle_deg=angle_deg,
        dial_by_eye_hours=by_eye,
        dial_inverted_hours=(by_eye + 6) % 12,
        dial_mirrored_hours=-by_eye % 12,
    )


def clock_error_arcmin(distance_arcmin: ArrayLike, minutes: ArrayLike) -> Array:
    """How far the axis misses the pole when a star at a distance from it is set for a wrong time.

    The star is set at the right distance in a wrong direction, so the pole is missed by the chord between the
    two. A longitude wrong by one degree counts as four minutes. Arrays broadcast.
    """
    turn = np.radians(np.asarray(minutes, float) * _SIDEREAL_DEG_PER_MINUTE)
    return np.asarray(2 * np.asarray(distance_arcmin, float) * np.abs(np.sin(turn / 2)))
