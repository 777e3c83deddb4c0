"""What a person means by a time or a date as they wrote it: 21:40, 20:40Z, 2026-03-02, yesterday."""

import re
from calendar import monthrange
from datetime import UTC, date, datetime, time, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

from obslog.errors import WrongInput
from obslog.grammar.other_notations import as_date, as_time
from obslog.times import NOON, YEAR, night_bounds_utc, night_of

_CLOCK = re.compile(
    r"^(?P<hour>\d{1,2})[:.h]?(?P<minute>\d{2})(?::(?P<second>\d{2}))?\s*(?P<utc>[zZ]|UTC|utc)?$"
)
_DATE_ALONE = re.compile(r"\s*\d{4}-?\d\d-?\d\d\s*")
_YEAR_MONTH_DAY = re.compile(r"(\d{4})-?(\d\d)-?\d\d")
_DATE_FIRST = re.compile(r"\s*\d{4}-?\d\d-?\d\d")
_EARLY, _NINE = time(6), time(21)


class DayWord(StrEnum):
    """A day by its distance from now: which date that is depends on the clocks of the place."""

    TODAY = "today"
    YESTERDAY = "yesterday"

    def date_at(self, now: datetime, zone: ZoneInfo) -> date:
        """The date that the word means now by the clocks of a zone."""
        return self.date_on(now.astimezone(zone).date())

    def date_on(self, today: date) -> date:
        return today - timedelta(days=1 if self is DayWord.YESTERDAY else 0)


class UnreadableTime(WrongInput):
    written = 'Write local time like 21:40 or "2026-03-02 21:40", or universal time like 20:40Z or 2026-03-02T20:40Z.'

    def __init__(self, text: str) -> None:
        meant = as_time(text)
        super().__init__(
            f"The time {text!r} cannot be read.", f"Write it as {meant}." if meant else self.written
        )


class UnreadableDate(WrongInput):
    written = "Write it like 2026-03-02."

    def __init__(self, text: str) -> None:
        meant = as_date(text)
        super().__init__(
            f"The date {text!r} cannot be read.", f"Write it as {meant}." if meant else self.written
        )


class UnreadableDay(UnreadableDate):
    """The same where the words for days are read too."""

    written = "Write it like 2026-03-02, or today or yesterday."


class NoSuchDay(UnreadableDate):
    """A date that is written well, of a day that its month does not have."""

    def __init__(self, text: str, days: int) -> None:
        WrongInput.__init__(
            self, f"There is no day {text}: that month has {days} days.", "Look at the date again."
        )


class ClockChanged(WrongInput):
    """A local time that a change of the clocks leaves open, with both its readings."""

    def __init__(
        self, message: str, readings: tuple[datetime, datetime], called: tuple[str, str], *, dated: bool
    ) -> None:
        self.readings, self._called = readings, called
        told = self.in_full if dated else self._told([_of_day(t) for t in readings])
        super().__init__(message, f"Give universal time: {told}.")

    @property
    def in_full(self) -> str:
        """Both readings with their dates, where a time of the day alone means nothing."""
        return self._told([_of_day(t, "%Y-%m-%dT") for t in self.readings])

    def _told(self, texts: list[str]) -> str:
        return ", ".join(f"{text} {called}" for text, called in zip(texts, self._called, strict=True))


class AmbiguousTime(ClockChanged):
    """The clocks went back: the local time came twice."""

    def __init__(self, text: str, first: datetime, second: datetime, *, dated: bool = False) -> None:
        message = f"{text} came twice that night: the clocks went back."
        super().__init__(message, (first, second), ("for the first", "for the second"), dated=dated)


class ImpossibleTime(ClockChanged):
    """The clocks went forward: the local time never came."""

    def __init__(self, text: str, before: datetime, after: datetime, *, dated: bool = False) -> None:
        message = f"{text} never came that night: the clocks went forward."
        called = ("by the clock before the change", "by the one after")
        super().__init__(message, (before, after), called, dated=dated)


class OutsideNight(WrongInput):
    """An instant of another night; `meant` is the same time of day inside the night, where a day's slip explains it."""

    def __init__(self, instant: datetime, night: date, meant: datetime | None = None) -> None:
        ask = f"Did you mean {meant:%Y-%m-%dT%H:%M}Z? " if meant else ""
        super().__init__(
            f"{instant:%Y-%m-%d %H:%M} UTC is not in the night of {night}, which runs from that noon to the next.",
            f"{ask}After midnight the night keeps the date of its evening; check both.",
        )


def evening_meant(now: datetime, zone: ZoneInfo) -> datetime:
    """The instant meant where a plan is asked for and no time is said: now, or in the morning nine that evening."""
    local = now.astimezone(zone)
    if _EARLY <= local.time() < NOON:
        return datetime.combine(local.date(), _NINE, zone).astimezone(UTC)
    return now


def instant_meant(text: str | None, now: datetime, zone: ZoneInfo, *, planning: bool = False) -> datetime:
    """What a person means by `--at`: a date and a time, or a time of the night that now is, or will be, part of.

    Where nothing is said it is now; for a plan, in the morning, the evening to come. A date alone is, for a plan, nine
    that evening. Raises as `read_instant_utc`.
    """
    meant = evening_meant(now, zone) if planning else now
    if text is None:
        return meant
    if planning and _DATE_ALONE.fullmatch(text):
        return datetime.combine(read_date(text), _NINE, zone).astimezone(UTC)
    if begins_with_a_date(text):
        return read_dated_utc(text, zone)
    return read_instant_utc(text, night_of(meant, zone), zone)


def begins_with_a_date(text: str) -> bool:
    """Whether a text begins with a date, and so says by itself which night it means."""
    return bool(_DATE_FIRST.match(text))


def read_date(text: str) -> date:
    """A date as 2026-03-02; raises UnreadableDate, NoSuchDay, or OutOfRange for a year that nobody means."""
    try:
        day = date.fromisoformat(text.strip())
    except ValueError as error:
        raise _no_date(text.strip()) from error
    YEAR.check(day.year)
    return day


def _no_date(text: str) -> UnreadableDate:
    written = _YEAR_MONTH_DAY.fullmatch(text)
    if written is None or not 1 <= int(written[2]) <= 12:
        return UnreadableDate(text)
    return NoSuchDay(text, monthrange(int(written[1]), int(written[2]))[1])


def lasting_date(text: str, now: datetime, zone: ZoneInfo) -> str:
    """`today` and `yesterday` as the date that they are now by the zone's clocks; any other text as it is."""
    word = _day_word(text)
    return text if word is None else word.date_at(now, zone).isoformat()


def read_day(text: str) -> date | DayWord:
    """A date as `read_date` reads it, or a word for a day; raises as that, or UnreadableDay for what is neither."""
    try:
        return _day_word(text) or read_date(text)
    except NoSuchDay:
        raise
    except UnreadableDate as error:
        raise UnreadableDay(text.strip()) from error


def _day_word(text: str) -> DayWord | None:
    word = text.strip().casefold()
    return DayWord(word) if word in set(DayWord) else None


def read_instant_utc(text: str, night: date, zone: ZoneInfo, now: datetime | None = None) -> datetime:
    """What a person means by a time of that night: 21:40 local, 20:40Z universal, or either behind its date.

    A slip of a day is answered with the time that was meant, though with none after `now`.
    Raises UnreadableTime, AmbiguousTime, ImpossibleTime, or OutsideNight for a full instant of another night.
    """
    text = text.strip()
    clock = _CLOCK.match(text)
    if clock is None:
        return _inside(read_dated_utc(text, zone), night, zone, now)
    try:
        wall = time(int(clock["hour"]), int(clock["minute"]), int(clock["second"] or 0))
    except ValueError as error:
        raise UnreadableTime(text) from error
    if not clock["utc"]:
        return local_instant_utc(wall, night, zone)
    start, end = night_bounds_utc(night, zone)
    days = (start.date() + timedelta(days=n) for n in range((end.date() - start.date()).days + 1))
    fitting = [t for t in (datetime.combine(day, wall, UTC) for day in days) if start <= t < end]
    if not fitting:  # a night on which the clocks change is an hour longer or shorter
        raise UnreadableTime(text)
    return fitting[0]


def local_instant_utc(wall: time, night: date, zone: ZoneInfo) -> datetime:
    """The instant of a wall-clock time of that night: before noon it belongs to the next day's date.

    Raises AmbiguousTime or ImpossibleTime where a clock change makes it so, with both readings.
    """
    day = night if wall >= NOON else night + timedelta(days=1)
    return _wall_utc(datetime.combine(day, wall, zone), zone)


def _wall_utc(wall: datetime, zone: ZoneInfo, *, dated: bool = False) -> datetime:
    """The one instant at which the clocks of a zone show a date and time; `dated` where a person gave the date."""
    first = wall if wall.tzinfo is zone and not wall.fold else wall.replace(fold=0, tzinfo=zone)
    second = first.replace(fold=1)
    if first.utcoffset() == second.utcoffset():
        return first.astimezone(UTC)
    first_utc, second_utc = first.astimezone(UTC), second.astimezone(UTC)
    if first_utc.astimezone(zone).replace(tzinfo=None, fold=0) == first.replace(tzinfo=None):
        raise AmbiguousTime(_of_day(wall.time()), first_utc, second_utc, dated=dated)
    raise ImpossibleTime(_of_day(wall.time()), first_utc, second_utc, dated=dated)


def read_dated_utc(text: str, zone: ZoneInfo) -> datetime:
    """A date and a time of the zone's clocks, 2026-03-02 21:40, or with a zone of its own, 2026-03-02T20:40Z.

    Raises UnreadableTime, OutOfRange, AmbiguousTime, ImpossibleTime.
    """
    try:
        wall = datetime.fromisoformat(text.strip())
    except ValueError as error:
        raise UnreadableTime(text) from error
    if wall.tzinfo is not None or _DATE_ALONE.fullmatch(text):
        return read_full_utc(text.strip())
    YEAR.check(wall.year)
    return _wall_utc(wall, zone, dated=True)


def read_full_utc(text: str) -> datetime:
    """A full instant with its zone, in ISO 8601: 2026-03-02T20:41:00Z. Raises UnreadableTime, OutOfRange."""
    try:
        instant = datetime.fromisoformat(text.strip())
    except ValueError as error:
        raise UnreadableTime(text) from error
    if instant.tzinfo is None:
        raise UnreadableTime(text)
    YEAR.check(instant.year)
    return instant.astimezone(UTC)


def _inside(instant: datetime, night: date, zone: ZoneInfo, now: datetime | None) -> datetime:
    if night_of(instant, zone) != night:
        a_day_off = (instant + timedelta(days=days) for days in (1, -1))
        meant = [t for t in a_day_off if night_of(t, zone) == night and (now is None or t <= now)]
        raise OutsideNight(instant, night, next(iter(meant), None))
    return instant


def _of_day(moment: datetime | time, date_format: str = "") -> str:
    """The time of the day, to the second only where it is not a whole minute; an instant's with a Z."""
    seconds = ":%S" if moment.second else ""
    return f"{moment:{date_format}%H:%M{seconds}}" + ("Z" if isinstance(moment, datetime) else "")
