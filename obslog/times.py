"""Local and universal time: zones, what night an instant belongs to, and what has not come yet.

A night runs from local noon to local noon and is named by the date of its evening. Everything is kept in UTC.
"""

from calendar import monthrange
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from zoneinfo import ZoneInfo, available_timezones

from obslog.errors import UnknownZone, WrongInput
from obslog.fields import NumberField

NOON = time(12)
_JANUARY, _JULY = datetime(2026, 1, 1, tzinfo=UTC), datetime(2026, 7, 1, tzinfo=UTC)
EARLIEST_ZONE = timedelta(hours=14)  # where a new day begins first, east of Greenwich
DAYS_OF_A_YEAR = 365
YEAR = NumberField("The year", 1900, 2200)


class FutureTime(WrongInput):
    def __init__(self, instant: datetime, now: datetime) -> None:
        super().__init__(
            f"{instant:%Y-%m-%d %H:%M} UTC has not come yet; it is {now:%Y-%m-%d %H:%M} UTC.",
            "Check the date and the time, and this computer's clock.",
        )


class FutureDate(WrongInput):
    def __init__(self, day: date) -> None:
        super().__init__(f"{day} has not come yet.", "Note it when it is done; check the date.")


@lru_cache(maxsize=64)
def zone_named(text: str) -> ZoneInfo:
    """The IANA time zone of that name; raises UnknownZone with the nearest names.

    Capitals are a part of the name: macOS and Windows find the file without them too, and a name that was taken there
    would be none on another laptop.
    """
    try:
        zone = ZoneInfo(text)
    except (KeyError, ValueError, OSError) as error:
        raise UnknownZone(text, available_timezones()) from error
    if text not in _zones_listed() and text.casefold() in map(str.casefold, _zones_listed()):
        raise UnknownZone(text, _zones_listed())
    return zone


@lru_cache(maxsize=1)
def _zones_listed() -> frozenset[str]:
    """The names as the time zone database that is installed with the program writes them."""
    found = find_spec("tzdata")  # not imported, for a quick verb waits for every package
    if found is None or found.origin is None:
        return frozenset()
    return frozenset(Path(found.origin).with_name("zones").read_text(encoding="utf-8").split())


@lru_cache(maxsize=512)
def offsets_hours(zone: str) -> tuple[float, float]:
    """What the zone's clocks are ahead of UTC in January and in July, in hours, east positive. Raises UnknownZone."""
    zone_info = zone_named(zone)
    offsets = (moment.astimezone(zone_info).utcoffset() for moment in (_JANUARY, _JULY))
    january, july = (offset.total_seconds() / 3600 if offset is not None else 0.0 for offset in offsets)
    return january, july


def standard_offset_hours(zone: str) -> float:
    """The zone's offset from UTC without summer time, in hours, east positive."""
    return min(offsets_hours(zone))


def night_of(instant: datetime, zone: ZoneInfo) -> date:
    """The date of the evening whose night holds the instant, by the noons of night_bounds_utc.

    That is local time less twelve hours, but where a zone left out a whole day, as Samoa did at the end of 2011, or had
    one twice: the night before then runs on to the noon that came next, or came first.
    """
    night = (instant.astimezone(zone).replace(tzinfo=None) - timedelta(hours=12)).date()
    while instant < _noon_utc(night, zone):
        night -= timedelta(days=1)
    while instant >= _noon_utc(night + timedelta(days=1), zone):
        night += timedelta(days=1)
    return night


def night_bounds_utc(night: date, zone: ZoneInfo) -> tuple[datetime, datetime]:
    """The two local noons between which the night lies."""
    return _noon_utc(night, zone), _noon_utc(night + timedelta(days=1), zone)


@lru_cache(maxsize=4096)
def _noon_utc(day: date, zone: ZoneInfo) -> datetime:
    return datetime.combine(day, NOON, zone).astimezone(UTC)


def not_in_future(instant: datetime, now: datetime) -> datetime:
    """The instant itself; raises FutureTime where it is more than two minutes ahead of the clock."""
    if instant > now + timedelta(minutes=2):
        raise FutureTime(instant, now)
    return instant


def not_a_future_date(day: date, now: datetime) -> date:
    """The day itself; raises FutureDate where it has not begun anywhere on Earth."""
    if day > (now + EARLIEST_ZONE).date():
        raise FutureDate(day)
    return day


def months_later(day: date, months: int) -> date:
    """The same day of a later month, or its last where it has none: 31 January and a month is 28 or 29 February."""
    years, month = divmod(day.month - 1 + months, 12)
    year, month = day.year + years, month + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def computed_local(instant: datetime | None, zone: ZoneInfo | None) -> str:
    """The time of day of something computed, to the nearest minute; a record is cut, as a watch shows it."""
    return shown_local(None if instant is None else instant + timedelta(seconds=30), zone)


def shown_local(instant: datetime | None, zone: ZoneInfo | None) -> str:
    """The time of day in the site's zone, or in UTC with a Z where the zone is unknown."""
    if instant is None:
        return ""
    return f"{instant.astimezone(zone):%H:%M}" if zone else f"{instant.astimezone(UTC):%H:%M}Z"


def utc_text(instant: datetime) -> str:
    """As files and scripts have it: `2026-03-02T20:00:00Z`."""
    return instant.astimezone(UTC).isoformat().replace("+00:00", "Z")
