"""Time zones as people choose them: those nearest to a place, and any by a part of its name.

The places come from `zone.tab` of the time zone database: one for each zone of each country, mostly its largest town.
So the nearest is a guess to choose from, for no border is known here.
"""

import math
import unicodedata
from collections.abc import Sequence
from functools import cache
from typing import NamedTuple
from zoneinfo import available_timezones

from obslog.errors import UnknownZone, WrongInput
from obslog.times import offsets_hours, standard_offset_hours

# Zones follow longitude at 15 degrees an hour; the widest that law makes them stray is about 3.5 hours.
WIDEST_STRAY_HOURS = 3.5
MOST_LISTED = 10


class SeveralZones(WrongInput):
    def __init__(self, text: str, fitting: Sequence[str]) -> None:
        shown = ", ".join(fitting[:MOST_LISTED])
        more = f" and {len(fitting) - MOST_LISTED} more" if len(fitting) > MOST_LISTED else ""
        super().__init__(f"{text!r} fits several time zones: {shown}{more}.", "Type more of the name.")


class NoSuchNumber(WrongInput):
    def __init__(self, number: int, most: int) -> None:
        super().__init__(
            f"There is no number {number} in the list.", f"Choose from 1 to {most}, or type a name."
        )


class ZonePlace(NamedTuple):
    """A zone with its country, and the place that the database names for it."""

    zone: str
    country: str
    lat_deg: float
    lon_deg: float


def offset_words(zone: str) -> str:
    """`UTC+1, in summer UTC+2`: what its clocks show now in winter and in summer."""
    standard, summer = min(offsets_hours(zone)), max(offsets_hours(zone))
    return _utc(standard) if summer == standard else f"{_utc(standard)}, in summer {_utc(summer)}"


def stray_hours(zone: str, lon_deg: float) -> float:
    """How far the zone's hours are from those of the Sun at that longitude; at most 12, for a day goes round."""
    return abs((lon_deg / 15 - standard_offset_hours(zone) + 12) % 24 - 12)


def nearest_zones(lat_deg: float, lon_deg: float, most: int) -> list[ZonePlace]:
    """The zones whose places are nearest, the nearest first; none whose hours no law would give that longitude."""
    fitting = (place for place in zone_places() if stray_hours(place.zone, lon_deg) <= WIDEST_STRAY_HOURS)
    return sorted(fitting, key=lambda place: apart_deg(lat_deg, lon_deg, place.lat_deg, place.lon_deg))[:most]


def zone_meant(text: str, listed: Sequence[str] = ()) -> str:
    """The zone of that number in the list shown, or the only one whose name or country holds the text, in any case.

    Raises NoSuchNumber, SeveralZones, UnknownZone.
    """
    typed = text.strip()
    if typed.isdecimal():
        number = int(typed)
        if not 1 <= number <= len(listed):
            raise NoSuchNumber(number, len(listed))
        return listed[number - 1]
    key, every = _key(typed), sorted(available_timezones())
    of_places = {place.zone: place.country for place in zone_places()}
    for fitting in (
        [zone for zone in every if _key(zone) == key],
        [zone for zone in of_places if _key(zone.rpartition("/")[2]) == key],
        [zone for zone in of_places if key and key in _key(zone)],
        [zone for zone, country in of_places.items() if key and key in _key(country)],
        [zone for zone in every if key and key in _key(zone)],
    ):
        if len(fitting) > 1:
            raise SeveralZones(typed, fitting)
        if fitting:
            return fitting[0]
    raise UnknownZone(typed, every)


def place_of_zone(zone: str) -> ZonePlace | None:
    """The place that the database names for the zone; None where it has none, as for UTC and old names."""
    return next((place for place in zone_places() if place.zone == zone), None)


@cache
def zone_places() -> tuple[ZonePlace, ...]:
    """All zones that have a place, in the order of the table."""
    countries = dict(_rows("iso3166.tab"))
    return tuple(
        ZonePlace(zone, countries[country], *_in_degrees(place))
        for country, place, zone, *_ in _rows("zone.tab")
    )


def _rows(table: str) -> list[list[str]]:
    from importlib.resources import files  # not needed by those who only ask for a zone's offset

    text = files("tzdata").joinpath("zoneinfo", table).read_text(encoding="utf-8")
    return [line.split("\t") for line in text.splitlines() if line and not line.startswith("#")]


def apart_deg(lat_1_deg: float, lon_1_deg: float, lat_2_deg: float, lon_2_deg: float) -> float:
    """The angle between two places at the Earth's centre; a degree is 111 km. Without numpy, which loads slowly."""
    lat_1, lat_2, lon = (math.radians(angle) for angle in (lat_1_deg, lat_2_deg, lon_2_deg - lon_1_deg))
    haversine = (
        math.sin((lat_2 - lat_1) / 2) ** 2 + math.cos(lat_1) * math.cos(lat_2) * math.sin(lon / 2) ** 2
    )
    return math.degrees(2 * math.asin(min(1.0, math.sqrt(haversine))))


def _in_degrees(place: str) -> tuple[float, float]:
    """The two angles of ISO 6709, +DDMM+DDDMM or +DDMMSS+DDDMMSS."""
    middle = max(place.rfind("+"), place.rfind("-"))
    return _angle(place[:middle], 2), _angle(place[middle:], 3)


def _angle(text: str, degrees: int) -> float:
    digits = text[1:]
    whole, minutes, seconds = digits[:degrees], digits[degrees : degrees + 2], digits[degrees + 2 :]
    size = int(whole) + int(minutes) / 60 + int(seconds or 0) / 3600
    return -size if text[0] == "-" else size


def _utc(hours: float) -> str:
    """`UTC`, `UTC+1`, `UTC-3:30`."""
    minutes = round(abs(hours) * 60)
    if minutes == 0:
        return "UTC"
    part = f":{minutes % 60:02d}" if minutes % 60 else ""
    return f"UTC{'-' if hours < 0 else '+'}{minutes // 60}{part}"


def _key(name: str) -> str:
    """A name without accents, capitals and underscores, by which it is found."""
    apart = unicodedata.normalize("NFKD", name.casefold().replace("_", " "))
    return " ".join("".join(sign for sign in apart if not unicodedata.combining(sign)).split())
