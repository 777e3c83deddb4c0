"""When a row of an observing sheet was: from its night or day, and a time by the site's clocks or a universal one."""

from collections.abc import Mapping
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from obslog.errors import WrongInput
from obslog.grammar.typed_times import OutsideNight, local_instant_utc, read_dated_utc
from obslog.times import YEAR, night_bounds_utc, not_in_future


class TimeMissing(WrongInput):
    def __init__(self, what: str, hint: str) -> None:
        super().__init__(f"{what} is missing.", hint)


class TwoTimes(WrongInput):
    def __init__(self) -> None:
        super().__init__("The row has a time and a universal time.", "Leave one of the two blank.")


class NoZoneForTime(WrongInput):
    def __init__(self, site: str) -> None:
        super().__init__(
            f"The time zone of {site} is not on record, so a local time means nothing.",
            "Give the time in the column utc, or the zone: obslog site edit",
        )


def row_instant(values: Mapping[str, Any], site: str, zone: ZoneInfo | None, now: datetime) -> datetime:
    """The instant in UTC that a row tells: `utc` or `time`, with a date in it, or else `night` or `date`.

    `zone` is that of the site, None where it is not on record.

    Raises TimeMissing, TwoTimes, NoZoneForTime, OutsideNight, AmbiguousTime, ImpossibleTime, OutOfRange, FutureTime.
    """
    local, universal = values.get("time"), values.get("utc")
    moment = universal if local is None else local
    if moment is None:
        raise TimeMissing("The time", "Write when it was, like 21:40, or 20:40 in the column utc.")
    if local is not None and universal is not None:
        raise TwoTimes
    if moment.tzinfo is None and universal is not None:
        moment = moment.replace(tzinfo=UTC)
    if moment.tzinfo is None and zone is None:
        raise NoZoneForTime(site)
    instant = _instant(moment, values.get("night"), values.get("date"), zone)
    YEAR.check(instant.year)
    if isinstance(moment, datetime) or "date" in values:  # a time alone was put into its night
        _check_inside(instant, values.get("night"), zone)
    return not_in_future(instant, now)


def _instant(
    moment: datetime | time, night: date | None, day: date | None, zone: ZoneInfo | None
) -> datetime:
    if isinstance(moment, datetime):
        return moment if moment.tzinfo is not None else _by_the_clock(moment, zone)
    if day is not None:
        dated = datetime.combine(day, moment)
        return dated if dated.tzinfo is not None else _by_the_clock(dated, zone)
    if night is None:
        raise TimeMissing("The night", "Write the date of the evening, or a time with its date.")
    if moment.tzinfo is None:
        assert zone is not None
        return local_instant_utc(moment, night, zone)
    start, end = night_bounds_utc(night, zone or ZoneInfo("UTC"))
    inside = (datetime.combine(start.date() + timedelta(days=n), moment) for n in range(3))
    return next(instant for instant in inside if start <= instant < end)


def _by_the_clock(wall: datetime, zone: ZoneInfo | None) -> datetime:
    assert zone is not None
    return read_dated_utc(wall.isoformat(), zone)


def _check_inside(instant: datetime, night: date | None, zone: ZoneInfo | None) -> None:
    """A night that is told beside a full instant must hold it; where the zone is unknown there is nothing to ask."""
    if night is None or zone is None:
        return
    start, end = night_bounds_utc(night, zone)
    if not start <= instant < end:
        raise OutsideNight(instant, night)
