"""Approximate Sun, Moon and sidereal time, to choose believable nights and targets; never used for pointing.

Good to about 0.02 deg for the Sun and half a day for the Moon's phase. Times are UTC as seconds since
J2000.0 noon.
"""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from .club import Site
from .mount_model import Floats

J2000 = datetime(2000, 1, 1, 12, tzinfo=UTC)
DAY_S = 86_400.0
DARK_SUN_DEG = -12.5
SYNODIC_MONTH_DAYS = 29.530588


def seconds_since_j2000(utc: datetime) -> float:
    return (utc - J2000).total_seconds()


def local_sidereal_deg(seconds: Floats, lon_deg: float) -> Floats:
    """Sidereal time, degrees. Source: mean sidereal time, IAU 1982, linear terms. Neglects nutation."""
    days = np.asarray(seconds) / DAY_S
    return np.asarray(np.remainder(280.4606184 + 360.98564737 * days + lon_deg, 360.0))


def sun_altitude_deg(seconds: Floats, site: Site) -> Floats:
    """Source: the low-precision formula of the Astronomical Almanac, section C (0.01 deg, 1950 to 2050)."""
    days = np.asarray(seconds) / DAY_S
    anomaly = np.radians(357.528 + 0.9856003 * days)
    longitude = np.radians(280.460 + 0.9856474 * days + 1.915 * np.sin(anomaly) + 0.020 * np.sin(2 * anomaly))
    tilt = np.radians(23.439)
    ra_deg = np.degrees(np.arctan2(np.cos(tilt) * np.sin(longitude), np.cos(longitude)))
    dec_deg = np.degrees(np.arcsin(np.sin(tilt) * np.sin(longitude)))
    return altitude_and_hour_angle(ra_deg, dec_deg, seconds, site)[0]


def altitude_and_hour_angle(
    ra_deg: Floats, dec_deg: Floats, seconds: Floats, site: Site
) -> tuple[Floats, Floats]:
    """Airless altitude and hour angle (west positive, within 180), degrees; without aberration."""
    hour_angle = np.remainder(local_sidereal_deg(seconds, site.lon_deg) - ra_deg + 180.0, 360.0) - 180.0
    lat, dec = np.radians(site.lat_deg), np.radians(dec_deg)
    up = np.sin(lat) * np.sin(dec) + np.cos(lat) * np.cos(dec) * np.cos(np.radians(hour_angle))
    return np.degrees(np.arcsin(np.clip(up, -1.0, 1.0))), hour_angle


def place_of_date(ra_hours: Floats, dec_deg: Floats, years: float) -> tuple[Floats, Floats]:
    """J2000 places carried to `years` after 2000 by precession, first order, degrees. For choosing only."""
    ra, dec = np.radians(15.0 * ra_hours), np.radians(dec_deg)
    m, n = 46.12 / 3600 * years, 20.04 / 3600 * years
    return np.degrees(ra) + m + n * np.sin(ra) * np.tan(dec), dec_deg + n * np.cos(ra)


def moon_darkness(night: date) -> float:
    """1 at new Moon, 0 at full. Source: new Moon of 2000-01-06 18:14 UTC and the mean synodic month."""
    days = (night - date(2000, 1, 6)).days
    return float(0.5 * (1.0 + np.cos(2 * np.pi * days / SYNODIC_MONTH_DAYS)))


def dark_hours(night: date, site: Site) -> tuple[datetime, datetime] | None:
    """When the Sun is below -12.5 deg, to five minutes, from local noon to noon; None if never."""
    noon = datetime.combine(night, time(12), tzinfo=ZoneInfo(site.zone)).astimezone(UTC)
    seconds = seconds_since_j2000(noon) + np.arange(0.0, DAY_S, 300.0)
    dark = np.flatnonzero(sun_altitude_deg(seconds, site) < DARK_SUN_DEG)
    if not len(dark):
        return None
    start, end = (J2000 + timedelta(seconds=float(seconds[index])) for index in (dark[0], dark[-1]))
    return start, end


def summer_time_hours(utc: datetime, zone: str) -> float:
    """How far the clocks are put forward there and then."""
    shift = utc.astimezone(ZoneInfo(zone)).dst()
    return shift.total_seconds() / 3600.0 if shift else 0.0
