"""Where a star stands, by textbook formulas alone: good to a degree, and independent of the program's own sky."""

from datetime import UTC, datetime

import numpy as np


def altitude_deg(
    ra_hours: float, dec_deg: float, utc: datetime, *, lat_deg: float, lon_deg: float
) -> tuple[float, float]:
    """Altitude and azimuth of a place of the catalogue, without precession and air.

    Source: mean sidereal time at Greenwich is 18.697374558 h + 24.06570982441908 h a day from noon of 2000-01-01
    (Astronomical Almanac, as the U.S. Naval Observatory gives it); sin h = sin f sin d + cos f cos d cos t.
    """
    days = (utc - datetime(2000, 1, 1, 12, tzinfo=UTC)).total_seconds() / 86400
    sidereal_hours = 18.697374558 + 24.06570982441908 * days + lon_deg / 15
    hour_angle = np.radians((sidereal_hours - ra_hours) * 15)
    lat, dec = np.radians(lat_deg), np.radians(dec_deg)
    up = np.sin(lat) * np.sin(dec) + np.cos(lat) * np.cos(dec) * np.cos(hour_angle)
    east = -np.cos(dec) * np.sin(hour_angle)
    north = np.cos(lat) * np.sin(dec) - np.sin(lat) * np.cos(dec) * np.cos(hour_angle)
    return float(np.degrees(np.arcsin(up))), float(np.degrees(np.arctan2(east, north)) % 360)
