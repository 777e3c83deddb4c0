"""Nights, zones, and what has not come yet."""

from datetime import UTC, date, datetime, timedelta
from importlib.resources import files
from pathlib import Path
from zoneinfo import TZPATH, ZoneInfo, reset_tzpath

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from obslog.errors import UnknownZone, WrongInput
from obslog.times import (
    FutureDate,
    FutureTime,
    night_bounds_utc,
    night_of,
    not_a_future_date,
    not_in_future,
    shown_local,
    standard_offset_hours,
    utc_text,
    zone_named,
)
from tests.every_zone import ZONES

LONDON = ZoneInfo("Europe/London")
START_1950, END_2100 = (datetime(year, 1, 1) for year in (1950, 2100))  # noqa: DTZ001 - hypothesis adds the zone
ANY_INSTANT = st.datetimes(START_1950, END_2100, timezones=st.just(UTC))


def utc(*parts: int) -> datetime:
    return datetime(*parts, tzinfo=UTC)  # type: ignore[misc,arg-type]


@given(ANY_INSTANT, ZONES)
@example(utc(2011, 12, 30, 12), ZoneInfo("Pacific/Apia"))  # the day that Samoa left out
@example(utc(1969, 10, 1, 0), ZoneInfo("Pacific/Kwajalein"))  # a day that came twice
@example(utc(2026, 10, 25, 11, 30), LONDON)
def test_every_instant_lies_within_its_night(instant: datetime, zone: ZoneInfo) -> None:
    start, end = night_bounds_utc(night_of(instant, zone), zone)
    assert start <= instant < end


@given(st.dates(date(1950, 1, 1), date(2100, 1, 1)), ZONES)
def test_each_night_begins_where_the_one_before_ended(night: date, zone: ZoneInfo) -> None:
    assert night_bounds_utc(night, zone)[0] == night_bounds_utc(night - timedelta(days=1), zone)[1]


def test_the_time_of_day_is_the_same_on_either_side_of_the_day_that_samoa_left_out() -> None:
    apia = ZoneInfo("Pacific/Apia")
    assert night_of(utc(2011, 12, 30, 9), apia) == date(2011, 12, 29)
    assert night_of(utc(2011, 12, 30, 21), apia) == date(2011, 12, 29)  # by then the 31st, before noon
    assert night_of(utc(2011, 12, 31, 9), apia) == date(2011, 12, 31)


@pytest.mark.parametrize(
    "text", ["", "Mars/Olympus", "Europe", "../etc/passwd", "/etc/localtime", "Europe/London\0", "x" * 300]
)
def test_what_is_no_zone_is_refused(text: str) -> None:
    with pytest.raises(UnknownZone):
        zone_named(text)


@pytest.mark.parametrize("typed", ["europe/london", "EUROPE/LONDON", "Europe/london", "utc"])
def test_a_zone_without_its_capitals_is_refused_where_the_file_is_found_without_them_too(
    tmp_path: Path, typed: str
) -> None:
    """So on macOS and Windows, where capitals make no other file: another laptop would know no such zone."""
    (tmp_path / typed).parent.mkdir(exist_ok=True)
    right = files("tzdata").joinpath("zoneinfo/Europe/London").read_bytes()
    (tmp_path / typed).write_bytes(right)
    zone_named.cache_clear()
    before = TZPATH
    reset_tzpath([tmp_path])
    try:
        with pytest.raises(UnknownZone) as told:
            zone_named(typed)
    finally:
        reset_tzpath(before)
        ZoneInfo.clear_cache(only_keys=[typed])
        zone_named.cache_clear()
    assert ("Europe/London" in told.value.hint) == ("ondon" in typed.casefold())


def test_a_misspelt_zone_is_refused_with_the_nearest_names() -> None:
    with pytest.raises(UnknownZone) as caught:
        zone_named("Europe/Londn")
    assert "Europe/London" in caught.value.hint


@pytest.mark.parametrize(
    ("error", "message"),
    [
        (FutureTime(utc(2026, 7, 10, 20, 43), utc(2026, 7, 10, 20, 40)),
         "2026-07-10 20:43 UTC has not come yet; it is 2026-07-10 20:40 UTC."),
        (FutureDate(date(2026, 7, 11)), "2026-07-11 has not come yet."),
    ],
)  # fmt: skip
def test_what_has_not_come_yet_says_so(error: WrongInput, message: str) -> None:
    assert error.message == message
    assert error.hint


def test_midnight_and_noon_belong_where_the_calendar_of_nights_puts_them() -> None:
    # London in July is an hour ahead: local noon is 11:00 UTC.
    assert night_bounds_utc(date(2026, 7, 10), LONDON) == (utc(2026, 7, 10, 11), utc(2026, 7, 11, 11))
    assert night_of(utc(2026, 7, 10, 10, 59), LONDON) == date(2026, 7, 9)
    assert night_of(utc(2026, 7, 10, 11), LONDON) == date(2026, 7, 10)
    assert night_of(utc(2026, 7, 11, 10, 59), LONDON) == date(2026, 7, 10)


def test_two_minutes_ahead_of_the_clock_is_not_yet_the_future(now: datetime) -> None:
    assert not_in_future(now + timedelta(minutes=2), now) == now + timedelta(minutes=2)
    with pytest.raises(FutureTime):
        not_in_future(now + timedelta(minutes=2, seconds=1), now)


def test_a_date_has_come_when_it_has_begun_anywhere(now: datetime) -> None:
    assert not_a_future_date(date(2026, 3, 3), now) == date(2026, 3, 3)  # 11:40 of the 3rd on Kiritimati
    with pytest.raises(FutureDate):
        not_a_future_date(date(2026, 3, 4), now)


def test_a_time_is_shown_in_the_zone_or_else_as_universal_time() -> None:
    instant = utc(2026, 7, 10, 20, 40)
    assert shown_local(instant, LONDON) == "21:40"
    assert shown_local(instant, None) == "20:40Z"
    assert shown_local(None, LONDON) == ""


@pytest.mark.parametrize(
    ("zone", "hours"),
    [
        ("UTC", 0.0),
        ("Europe/London", 0.0),
        ("America/New_York", -5.0),
        ("Australia/Sydney", 10.0),  # summer time there is in January
        ("Asia/Kathmandu", 5.75),
        ("Africa/Johannesburg", 2.0),
        ("America/St_Johns", -3.5),
        ("Australia/Lord_Howe", 10.5),
        ("Pacific/Apia", 13.0),
    ],
)
def test_the_offset_of_a_zone_is_that_without_summer_time(zone: str, hours: float) -> None:
    """Published offsets: the zones' own laws."""
    assert standard_offset_hours(zone) == hours


def test_an_instant_is_written_in_universal_time_with_a_z() -> None:
    assert utc_text(datetime(2026, 7, 1, 23, 30, tzinfo=LONDON)) == "2026-07-01T22:30:00Z"
    assert utc_text(utc(2026, 3, 2, 20, 0, 0, 500_000)) == "2026-03-02T20:00:00.500000Z"
