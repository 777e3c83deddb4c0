"""How high and in which direction a catalogue place stands, without the ephemeris: quick enough to type by.

Good to 0.02 deg, which is all that a look at a record needs; everything else asks places.py.
"""

from datetime import UTC, datetime
from math import asin, atan2, cos, degrees, hypot, pi, radians, sin, tan

from obslog.values import Place

_J2000 = datetime(2000, 1, 1, 12, tzinfo=UTC)
_DAYS_PER_CENTURY = 36525.0
_ARCSEC = pi / 648000


def quick_alt_az_deg(
    ra_hours: float, dec_deg: float, when_utc: datetime, place: Place
) -> tuple[float, float]:
    """The refracted altitude and the azimuth of a J2000 place, in degrees; below -1 deg refraction fades.

    Source: J. Meeus, Astronomical Algorithms (1998): equations 12.4 (sidereal time), 13.5 and 13.6 (azimuth,
    altitude), 21.3 and 21.4 (precession), 16.4 (refraction of an airless altitude, after Saemundsson).
    Neglects: aberration (21"), nutation (17"), UT1 (a second of time), proper motion.
    """
    days = _days(when_utc)
    return _alt_az_deg(
        *_of_date(radians(ra_hours * 15), radians(dec_deg), days / _DAYS_PER_CENTURY), days, place
    )


def hour_angle_hours(alt_deg: float, az_deg: float, place: Place) -> float:
    """The hour angle, positive west, of a direction: from -12 to 12.

    Source: J. Meeus, Astronomical Algorithms (1998), page 94, with azimuth from the north.
    """
    alt, az, lat = radians(alt_deg), radians(az_deg), radians(place.lat_deg)
    return degrees(atan2(-sin(az) * cos(alt), sin(alt) * cos(lat) - cos(alt) * sin(lat) * cos(az))) / 15


def quick_sun_alt_deg(when_utc: datetime, place: Place) -> float:
    """The Sun's refracted altitude in degrees, to 0.02 deg from 1950 to 2050.

    Source: the low-precision formulas for the Sun of the Astronomical Almanac, page C5 (from memory; checked in a test
    against the ephemeris).
    """
    days = _days(when_utc)
    anomaly = radians((357.528 + 0.9856003 * days) % 360)
    longitude = radians((280.460 + 0.9856474 * days) % 360 + 1.915 * sin(anomaly) + 0.020 * sin(2 * anomaly))
    obliquity = radians(23.439 - 0.0000004 * days)
    ra = atan2(cos(obliquity) * sin(longitude), cos(longitude))
    return _alt_az_deg(ra, asin(sin(obliquity) * sin(longitude)), days, place)[0]


def _days(when_utc: datetime) -> float:
    return (when_utc - _J2000).total_seconds() / 86400


def _alt_az_deg(ra: float, dec: float, days: float, place: Place) -> tuple[float, float]:
    """The refracted altitude and the azimuth, in degrees, of a place of date in radians."""
    sidereal = radians((280.46061837 + 360.98564736629 * days + place.lon_deg) % 360)
    lat = radians(place.lat_deg)
    hour_angle = sidereal - ra
    sine = sin(lat) * sin(dec) + cos(lat) * cos(dec) * cos(hour_angle)
    north = sin(dec) * cos(lat) - cos(dec) * cos(hour_angle) * sin(lat)
    az_deg = degrees(atan2(-cos(dec) * sin(hour_angle), north)) % 360
    alt_deg = degrees(asin(max(-1.0, min(1.0, sine))))
    return alt_deg + _refraction_deg(alt_deg), az_deg


def _refraction_deg(airless_alt_deg: float) -> float:
    """By airless altitude; below -1 deg two straight lines that follow refraction.py's fading."""
    if airless_alt_deg > 89:
        return 0.0
    if airless_alt_deg >= -1:
        return 1.02 / tan(radians(airless_alt_deg + 10.3 / (airless_alt_deg + 5.11))) / 60
    if airless_alt_deg >= -1.83:
        return 0.64 + 0.19 * (-1 - airless_alt_deg) / 0.83
    return max(0.0, 0.83 * (airless_alt_deg + 5) / 3.17)


def _of_date(ra: float, dec: float, t: float) -> tuple[float, float]:
    """A J2000 place moved to the mean equator and equinox, t centuries later; radians."""
    zeta = (2306.2181 * t + 0.30188 * t**2 + 0.017998 * t**3) * _ARCSEC
    z = (2306.2181 * t + 1.09468 * t**2 + 0.018203 * t**3) * _ARCSEC
    theta = (2004.3109 * t - 0.42665 * t**2 - 0.041833 * t**3) * _ARCSEC
    a = cos(dec) * sin(ra + zeta)
    b = cos(theta) * cos(dec) * cos(ra + zeta) - sin(theta) * sin(dec)
    c = sin(theta) * cos(dec) * cos(ra + zeta) + cos(theta) * sin(dec)
    return atan2(a, b) + z, atan2(c, hypot(a, b))
