"""Directions and the frames they are measured in: equatorial (hour angle, declination) and horizontal.

Hour angle is positive west, azimuth runs from north through east. A direction is a unit vector of shape (3,
n) or (3,): its components point north, east and up.
"""

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.int64]
Numbers = float | FloatArray

RAD_PER_ARCMIN = np.pi / 10800.0
ARCMIN_PER_RAD = 10800.0 / np.pi


def horizontal_direction(az_deg: Numbers, alt_deg: Numbers) -> FloatArray:
    """The unit vector (north, east, up) at an azimuth and altitude."""
    az, alt = np.radians(az_deg), np.radians(alt_deg)
    return _stacked(np.cos(alt) * np.cos(az), np.cos(alt) * np.sin(az), np.sin(alt))


def equatorial_direction(hour_angle_deg: Numbers, dec_deg: Numbers, lat_deg: Numbers) -> FloatArray:
    """The unit vector (north, east, up) at an hour angle and declination, seen from a latitude."""
    hour_angle, dec, lat = np.radians(hour_angle_deg), np.radians(dec_deg), np.radians(lat_deg)
    to_meridian, east, to_pole = (
        np.cos(dec) * np.cos(hour_angle),
        -np.cos(dec) * np.sin(hour_angle),
        np.sin(dec),
    )
    return _stacked(
        np.cos(lat) * to_pole - np.sin(lat) * to_meridian,
        east,
        np.sin(lat) * to_pole + np.cos(lat) * to_meridian,
    )


def az_alt_deg(direction: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Azimuth (0 to 360) and altitude of directions."""
    north, east, up = direction
    return np.degrees(np.arctan2(east, north)) % 360.0, np.degrees(np.arctan2(up, np.hypot(north, east)))


def hour_angle_dec_deg(direction: FloatArray, lat_deg: Numbers) -> tuple[FloatArray, FloatArray]:
    """Hour angle (-180 to 180) and declination of directions, seen from a latitude."""
    north, east, up = direction
    lat = np.radians(lat_deg)
    to_meridian = np.cos(lat) * up - np.sin(lat) * north
    to_pole = np.cos(lat) * north + np.sin(lat) * up
    return np.degrees(np.arctan2(-east, to_meridian)), np.degrees(
        np.arctan2(to_pole, np.hypot(to_meridian, east))
    )


def pole_direction(lat_deg: Numbers) -> FloatArray:
    """The north celestial pole (below the horizon in the south)."""
    lat = np.radians(lat_deg)
    return _stacked(np.cos(lat), np.zeros_like(lat), np.sin(lat))


def raised(direction: FloatArray, up_arcmin: Numbers) -> FloatArray:
    """Directions moved up their vertical circle, as refraction does; a direction at the zenith stays."""
    angle = np.asarray(up_arcmin) * RAD_PER_ARCMIN
    up = direction[2]
    level = np.maximum(np.hypot(direction[0], direction[1]), 1e-15)
    sideways = np.cos(angle) - np.sin(angle) * up / level
    return _stacked(
        direction[0] * sideways, direction[1] * sideways, np.sin(angle) * level + np.cos(angle) * up
    )


def separation_deg(one: FloatArray, other: FloatArray) -> FloatArray:
    """The angle between directions, exact for small and large ones alike."""
    cross = np.cross(one, other, axis=0)
    angle: FloatArray = np.arctan2(np.sqrt((cross * cross).sum(axis=0)), (one * other).sum(axis=0))
    return np.degrees(angle)


def offsets_arcmin(
    target: FloatArray, field_centre: FloatArray, lat_deg: Numbers
) -> tuple[FloatArray, FloatArray]:
    """How far east and north of the field centre a target stands, on the plane tangent to the sky at the
    field centre.

    Shapes (n,), arcminutes. nan where the target is 90 degrees or more from the field centre: it has no place
    on that plane. At the pole itself east is undefined and the result is nan.
    Neglects: nothing; the tangent plane differs from arcs on the sphere by 0.01' at 1 degree.
    """
    pole = pole_direction(np.broadcast_to(lat_deg, target.shape[1:]))
    along = (target * field_centre).sum(axis=0)
    sin_dec = (pole * field_centre).sum(axis=0)
    with np.errstate(invalid="ignore", divide="ignore"):
        scale = ARCMIN_PER_RAD / (along * np.sqrt(1.0 - sin_dec * sin_dec))
        scale = np.where(along > 0.0, scale, np.nan)
        east = (target * np.cross(field_centre, pole, axis=0)).sum(axis=0) * scale
        north = ((pole * target).sum(axis=0) - sin_dec * along) * scale
    return east, north


def _stacked(*components: Numbers) -> FloatArray:
    return np.stack(np.broadcast_arrays(*components)).astype(np.float64, copy=False)
