"""A place in the sky given by its coordinates, `5h35m -5d23m`: of J2000, or of the year that is told.

On the path of every quick command: imports neither numpy nor Skyfield.
"""

import re
from dataclasses import dataclass
from math import asin, atan2, cos, degrees, radians, sin

from obslog.sky.names.deepsky import NotOneObject

# Patterns as texts: compiled only where a text may be coordinates, for a quick verb seldom has any.
_NUMBER = r"(\d+(?:\.\d+)?)"
_RA = rf"{_NUMBER}(?:h|:|\s)\s*(?:{_NUMBER}(?:m|'|:|\s)?\s*)?(?:{_NUMBER}s?\s*)?"
_DEC = rf"([+-])\s*{_NUMBER}(?:d|°|:|\s)?\s*(?:{_NUMBER}(?:m|'|:|\s)?\s*)?(?:{_NUMBER}(?:s|\")?\s*)?"
_EPOCH = r"(.*?)\s*(?:,|\bof\b)?\s*(?:j2000(?:\.0)?|(?:of|j)\s*(\d{4}(?:\.\d+)?)|of (date|today|now))?"
_J2000 = 2000.0
_LONGEST = 80  # the patterns take ever longer over a text of digits that fits none of them


@dataclass(frozen=True, slots=True)
class SkyPoint:
    """A place that has no name: ICRS, J2000, as near as the coordinates were given."""

    name: str
    ra_hours: float
    dec_deg: float


class BadCoordinates(NotOneObject):
    def __init__(self, text: str, what: str) -> None:
        super().__init__(
            f"The coordinates {text!r} cannot be used: {what}.",
            'Write right ascension and declination like "5h35m -5d23m", with "of 2026" behind them if not of J2000.',
        )


def point_or_none(text: str) -> SkyPoint | None:
    """The place that coordinates tell; None for what does not look like coordinates.

    Raises: BadCoordinates, for what looks like them and cannot be meant.
    """
    plain = " ".join(
        text.replace("−", "-").replace("’", "'").replace("′", "'").replace("″", '"').lower().split()
    )
    if not plain[:1].isdigit() or not {"+", "-"} & set(plain) or len(plain) > _LONGEST:
        return None
    parts = re.fullmatch(_EPOCH, plain)
    if parts is None:
        return None
    place, year, date_word = parts.groups()
    cut = max(place.find("-"), place.find("+"))
    ra, dec = re.fullmatch(_RA, place[:cut].strip() + " "), re.fullmatch(_DEC, place[cut:])
    if cut < 0 or ra is None or dec is None:
        return None
    if date_word:
        raise BadCoordinates(text, "say of which year they are")
    ra_hours = _sixtieths(text, ra.groups(), 24)
    dec_deg = _sixtieths(text, dec.groups()[1:], 90) * (-1 if dec[1] == "-" else 1)
    if year and abs(float(year) - _J2000) > 200:
        raise BadCoordinates(text, "the year must be between 1800 and 2200")
    if year:
        ra_hours, dec_deg = precessed_to_j2000(ra_hours, dec_deg, float(year))
    return SkyPoint(_spelled(ra_hours, dec_deg), ra_hours, dec_deg)


def precessed_to_j2000(ra_hours: float, dec_deg: float, year: float) -> tuple[float, float]:
    """A mean place of a Julian epoch, moved to the equinox of J2000.

    Source: J. H. Lieske and others, Astronomy and Astrophysics 58 (1977) 1, as in J. Meeus, Astronomical Algorithms
    (1998), formulas 21.2 and 21.4.
    Neglects: nutation and aberration, up to 35", and the newer constant of precession, 0.3" a century.
    """
    t = (year - _J2000) / 100
    zeta, z, theta = (
        radians((a * t + b * t**2 + c * t**3) / 3600)
        for a, b, c in (
            (2306.2181, 0.30188, 0.017998), (2306.2181, 1.09468, 0.018203), (2004.3109, -0.42665, -0.041833)
        )
    )  # fmt: skip
    # Backwards: from the equinox of the year, turned by -z, -theta, -zeta.
    ra, dec = radians(ra_hours * 15) - z, radians(dec_deg)
    x, y, up = cos(dec) * cos(ra), cos(dec) * sin(ra), sin(dec)
    x, up = cos(theta) * x + sin(theta) * up, cos(theta) * up - sin(theta) * x
    return degrees(atan2(y, x) - zeta) / 15 % 24, degrees(asin(max(-1.0, min(1.0, up))))


def _sixtieths(text: str, parts: tuple[str | None, ...], below: int) -> float:
    whole, minutes, seconds = (float(part) if part else 0.0 for part in parts)
    value = whole + minutes / 60 + seconds / 3600
    if minutes >= 60 or seconds >= 60 or value > below or (below == 24 and value == below):
        raise BadCoordinates(text, "hours end at 24, degrees at 90, minutes and seconds at 60")
    return value


def _spelled(ra_hours: float, dec_deg: float) -> str:
    """The coordinates of J2000 to six seconds of time and an arcminute, as they can be typed again."""
    tenths = round(ra_hours * 600) % 14400
    arcminutes = round(abs(dec_deg) * 60)
    sign = "-" if dec_deg < 0 and arcminutes else "+"
    return f"{tenths // 600}h{tenths % 600 / 10:04.1f}m {sign}{arcminutes // 60}°{arcminutes % 60:02d}'"
