"""Reading and printing angles: latitudes, longitudes, degrees and minutes, points of the compass.

Latitude is positive north, longitude positive east, both in degrees.
"""

import math
import re

from obslog.errors import NotANumber
from obslog.fields import LATITUDE_DEG, LONGITUDE_DEG, NumberField

# Only the last part may have decimals. A lone s behind the seconds could also mean south: see below.
_ANGLE = re.compile(
    r"""^\s*(?P<sign>[-+\u2212])?\s*
        (?P<deg>\d+(?:\.\d+(?!.*\d))?)\s*(?:\u00b0|d|deg)?
        (?:[\s:]*(?P<min>\d+(?:\.\d+(?!.*\d))?)\s*(?:'|\u2032|m)?)?
        (?:[\s:]*(?P<sec>\d+(?:\.\d+)?)\s*(?:"|\u2033|(?P<mark>s))?)?
        \s*(?P<side>[NSEWnsew])?\s*$""",
    re.VERBOSE,
)


COMPASS_POINTS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


def compass_point(az_deg: float) -> str:
    """The point of the compass that is nearest to an azimuth, of eight."""
    return COMPASS_POINTS[round(az_deg / 45.0) % 8]


def read_latitude_deg(text: str) -> float:
    """A latitude as people write it: 52.2, -33.9, 52 12 30 N, 33°54'S.

    Raises NotANumber for text that is no angle, OutOfRange beyond 90 degrees.
    """
    return _read(text, LATITUDE_DEG, "NS", "52.2 or 52 12 N")


def read_longitude_deg(text: str) -> float:
    """A longitude as people write it, east positive: -3.1, 3 6 W, 18°29'E.

    Raises NotANumber for text that is no angle, OutOfRange beyond 180 degrees.
    """
    return _read(text, LONGITUDE_DEG, "EW", "-3.1 or 3 6 W")


def _read(text: str, field: NumberField, sides: str, example: str) -> float:
    match = _ANGLE.match(text)
    side = (match["side"] or "").upper() if match else ""
    if match is None or (side and (side not in sides or match["sign"])):
        raise NotANumber(field.words, text, example)
    if match["mark"] and not side and "S" in sides:
        raise NotANumber(
            field.words, text, example + "; end with N or S, as a lone s could mean seconds or south"
        )
    minutes, seconds = float(match["min"] or 0), float(match["sec"] or 0)
    if minutes >= 60 or seconds >= 60:
        raise NotANumber(field.words, text, example + "; minutes and seconds stay below 60")
    value = float(match["deg"]) + minutes / 60 + seconds / 3600
    field.check(value, shown=text.strip())
    negative = side in ("S", "W") if side else match["sign"] in ("-", "\u2212")
    return -value if negative else value


def degrees_and_minutes(value_deg: float, sides: str) -> str:
    """The angle in whole degrees and minutes with its side, as a controller asks for it: 52° 12' N.

    `sides` is the letter of the positive side and that of the negative one: "NS" or "EW".
    """
    total = round(abs(value_deg) * 60)
    side = sides[0] if value_deg >= 0 else sides[1]
    return f"{total // 60}° {total % 60:02d}' {side}"


def sexagesimal(value: float, digits: int = 0, signed: bool = False) -> str:
    """`value` (hours or degrees) as 12:34:56, rounded once so that 59.96 seconds carries over."""
    if math.isnan(value):
        return ""
    scale = 10**digits
    total = round(abs(value) * 3600 * scale)
    seconds, fraction = divmod(total, scale)
    sign = "-" if value < 0 and total else "+" if signed else ""
    tail = f".{fraction:0{digits}d}" if digits else ""
    return f"{sign}{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}{tail}"
