"""Angles on the sphere: horizontal and equatorial directions, separations and position angles.

Hour angles in hours, west positive; azimuth from north through east; everything else in degrees. All arrays
broadcast, nan gives nan. Exact spherical trigonometry in forms that hold near poles and for small angles.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def horizontal(hour_angle_hours: ArrayLike, dec_deg: ArrayLike, lat_deg: ArrayLike) -> tuple[Array, Array]:
    """Airless altitude and azimuth.

    At the zenith the azimuth is an accident of rounding; at the Earth's poles it follows the hour angle.
    """
    h, d, phi = np.radians(np.asarray(hour_angle_hours) * 15), np.radians(dec_deg), np.radians(lat_deg)
    north = np.cos(phi) * np.sin(d) - np.sin(phi) * np.cos(d) * np.cos(h)
    east = -np.cos(d) * np.sin(h)
    up = np.sin(phi) * np.sin(d) + np.cos(phi) * np.cos(d) * np.cos(h)
    return np.degrees(np.arctan2(up, np.hypot(north, east))), np.degrees(np.arctan2(east, north)) % 360


def equatorial(alt_deg: ArrayLike, az_deg: ArrayLike, lat_deg: ArrayLike) -> tuple[Array, Array]:
    """Hour angle (hours, -12 to 12) and declination of a direction given by altitude and azimuth."""
    alt, az, phi = np.radians(alt_deg), np.radians(az_deg), np.radians(lat_deg)
    to_meridian = np.cos(phi) * np.sin(alt) - np.sin(phi) * np.cos(alt) * np.cos(az)
    west = -np.cos(alt) * np.sin(az)
    to_pole = np.sin(phi) * np.sin(alt) + np.cos(phi) * np.cos(alt) * np.cos(az)
    hour_angle_hours = np.degrees(np.arctan2(west, to_meridian)) / 15
    return hour_angle_hours, np.degrees(np.arctan2(to_pole, np.hypot(to_meridian, west)))


def separation_deg(
    lon_1_deg: ArrayLike, lat_1_deg: ArrayLike, lon_2_deg: ArrayLike, lat_2_deg: ArrayLike
) -> Array:
    """The angle between two directions, given by longitude-like and latitude-like angles."""
    across, along, inward = _from_first_to_second(lon_1_deg, lat_1_deg, lon_2_deg, lat_2_deg)
    return np.degrees(np.arctan2(np.hypot(across, along), inward))


def position_angle_deg(
    lon_1_deg: ArrayLike, lat_1_deg: ArrayLike, lon_2_deg: ArrayLike, lat_2_deg: ArrayLike
) -> Array:
    """The direction of the second point seen from the first, 0 to 360, from north to growing longitude."""
    across, along, _ = _from_first_to_second(lon_1_deg, lat_1_deg, lon_2_deg, lat_2_deg)
    return np.degrees(np.arctan2(across, along)) % 360


def _from_first_to_second(
    lon_1_deg: ArrayLike, lat_1_deg: ArrayLike, lon_2_deg: ArrayLike, lat_2_deg: ArrayLike
) -> tuple[Array, Array, Array]:
    """The second direction's components toward increasing longitude, toward north and along the first."""
    lon = np.radians(np.subtract(lon_2_deg, lon_1_deg))
    lat_1, lat_2 = np.radians(lat_1_deg), np.radians(lat_2_deg)
    across = np.cos(lat_2) * np.sin(lon)
    along = np.cos(lat_1) * np.sin(lat_2) - np.sin(lat_1) * np.cos(lat_2) * np.cos(lon)
    inward = np.sin(lat_1) * np.sin(lat_2) + np.cos(lat_1) * np.cos(lat_2) * np.cos(lon)
    return across, along, inward
