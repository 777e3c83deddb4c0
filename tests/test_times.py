"""Nights, and what a person means by a time of day."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo, available_timezones

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from obslog.errors import OutOfRange, UnknownZone, WrongInput
from obslog.times import (
    AmbiguousTime,
    ClockChanged,
    FutureDate,
    FutureTime,
    ImpossibleTime,
    OutsideNight,
    UnreadableDate,
    UnreadableTime,
    begins_with_a_date,
    day_meant,
    evening_meant,
    instant_meant,
    local_instant_utc,
    night_bounds_utc,
    night_of,
    not_a_future_date,
    not_in_future,
    read_instant_utc,
    shown_local,
    standard_offset_hours,
    zone_named,
)

LONDON = ZoneInfo("Europe/London")
ODD_ZONES = ["Pacific/Apia", "Asia/Kathmandu", "America/St_Johns", "Australia/Lord_Howe", "Pacific/Kwajalein"]
ZONES = st.sampled_from(ODD_ZONES + sorted(available_timezones())).map(ZoneInfo)
START_1950, START_2015, END_2035, END_2100 = (
    datetime(year, 1, 1)  # noqa: DTZ001 - hypothesis adds the zone
    for year in (1950, 2015, 2035, 2100)
)
ANY_INSTANT = st.datetimes(START_1950, END_2100, timezones=st.just(UTC))
# From 2015 on no zone has left out or repeated a whole day.
LATE_INSTANT = st.datetimes(START_2015, END_2035, timezones=st.just(UTC)).map(
    lambda t: t.replace(microsecond=0)
)


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


@given(LATE_INSTANT, ZONES)
def test_a_time_read_off_the_wall_clock_is_read_back(instant: datetime, zone: ZoneInfo) -> None:
    written = f"{instant.astimezone(zone):%H:%M:%S}"
    try:
        read: datetime | None = read_instant_utc(written, night_of(instant, zone), zone)
    except AmbiguousTime as error:
        read = instant if f"{instant:%H:%M}Z" in error.hint else None
    assert read == instant


@given(LATE_INSTANT, ZONES)
def test_a_whole_instant_is_read_back(instant: datetime, zone: ZoneInfo) -> None:
    night = night_of(instant, zone)
    assert read_instant_utc(instant.isoformat(), night, zone) == instant
    assert read_instant_utc(instant.astimezone(zone).isoformat(), night, zone) == instant


@given(LATE_INSTANT, ZONES)
def test_universal_time_of_day_is_read_back(instant: datetime, zone: ZoneInfo) -> None:
    night = night_of(instant, zone)
    start, end = night_bounds_utc(night, zone)
    read = read_instant_utc(f"{instant:%H:%M:%S}Z", night, zone)
    assert start <= read < end
    assert (read - instant) % timedelta(days=1) == timedelta(0)
    assert read == instant or end - start > timedelta(days=1)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("21:40", utc(2026, 7, 10, 20, 40)),
        ("21.40", utc(2026, 7, 10, 20, 40)),
        ("21h40", utc(2026, 7, 10, 20, 40)),
        ("2140", utc(2026, 7, 10, 20, 40)),
        (" 21:40:15 ", utc(2026, 7, 10, 20, 40, 15)),
        ("1:05", utc(2026, 7, 11, 0, 5)),
        ("105", utc(2026, 7, 11, 0, 5)),
        ("00:00", utc(2026, 7, 10, 23, 0)),
        ("12:00", utc(2026, 7, 10, 11, 0)),
        ("11:59", utc(2026, 7, 11, 10, 59)),
        ("20:40Z", utc(2026, 7, 10, 20, 40)),
        ("0040z", utc(2026, 7, 11, 0, 40)),
        ("20:40 UTC", utc(2026, 7, 10, 20, 40)),
        ("2026-07-10T20:40:00Z", utc(2026, 7, 10, 20, 40)),
        ("2026-07-10T22:40:00+02:00", utc(2026, 7, 10, 20, 40)),
        ("2026-07-10 21:40", utc(2026, 7, 10, 20, 40)),  # by the clocks of London, an hour ahead in July
        ("2026-07-11T01:05:30", utc(2026, 7, 11, 0, 5, 30)),
    ],
)
def test_a_time_in_the_night_of_10_july_in_london(text: str, expected: datetime) -> None:
    assert read_instant_utc(text, date(2026, 7, 10), LONDON) == expected


@pytest.mark.parametrize(
    "text",
    [
        "",
        "late",
        "25:00",
        "24:00",
        "21:60",
        "21:4",
        "9",
        "21:40:61",
        "nan",
        "-1:30",
        "2026-07-10",
    ],
)
def test_what_is_no_time_is_refused(text: str) -> None:
    with pytest.raises(UnreadableTime):
        read_instant_utc(text, date(2026, 7, 10), LONDON)


@pytest.mark.parametrize("text", ["0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-14:00"])
def test_a_year_that_nobody_means_is_refused(text: str) -> None:
    with pytest.raises(OutOfRange):
        read_instant_utc(text, date(2026, 7, 10), LONDON)


def test_an_instant_of_another_night_is_refused() -> None:
    with pytest.raises(OutsideNight, match="2026-07-10"):
        read_instant_utc("2026-07-11T20:40:00Z", date(2026, 7, 10), LONDON)


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("2026-07-11T20:40:00Z", "Did you mean 2026-07-10T20:40Z?"),  # a day late
        (
            "2026-07-10T01:40:00Z",
            "Did you mean 2026-07-11T01:40Z?",
        ),  # after midnight, with the date of the evening
        ("2026-07-13T20:40:00Z", None),
    ],
)
def test_a_slip_of_one_day_is_answered_with_the_same_time_inside_the_night(
    said: str, meant: str | None
) -> None:
    with pytest.raises(OutsideNight) as caught:
        read_instant_utc(said, date(2026, 7, 10), LONDON)
    assert (meant or "After midnight") in caught.value.hint
    assert ("Did you mean" in caught.value.hint) is (meant is not None)


# Clock changes as the IANA time zone database has them (files europe, australasia and northamerica).
@pytest.mark.parametrize(
    ("zone", "night", "wall", "first", "second"),
    [
        ("Europe/London", date(2026, 10, 24), "01:30", "00:30Z", "01:30Z"),
        ("Australia/Lord_Howe", date(2026, 4, 4), "01:45", "14:45Z", "15:15Z"),  # by half an hour
        ("America/St_Johns", date(2026, 10, 31), "01:30", "04:00Z", "05:00Z"),
    ],
)
def test_a_time_that_came_twice_is_refused_with_both_readings(
    zone: str, night: date, wall: str, first: str, second: str
) -> None:
    with pytest.raises(AmbiguousTime, match=wall) as caught:
        read_instant_utc(wall, night, ZoneInfo(zone))
    assert f"{first} for the first, {second} for the second" in caught.value.hint
    readings = [read_instant_utc(reading, night, ZoneInfo(zone)) for reading in (first, second)]
    assert [f"{reading.astimezone(ZoneInfo(zone)):%H:%M}" for reading in readings] == [wall, wall]


@pytest.mark.parametrize(
    ("zone", "night", "wall", "before", "after"),
    [
        ("Europe/London", date(2026, 3, 28), "01:30", "01:30Z", "00:30Z"),
        ("Australia/Lord_Howe", date(2026, 10, 3), "02:15", "15:45Z", "15:15Z"),
        ("America/St_Johns", date(2026, 3, 7), "02:30", "06:00Z", "05:00Z"),
    ],
)
def test_a_time_that_never_came_is_refused_with_both_readings(
    zone: str, night: date, wall: str, before: str, after: str
) -> None:
    with pytest.raises(ImpossibleTime, match=wall) as caught:
        read_instant_utc(wall, night, ZoneInfo(zone))
    assert f"{before} by the clock before the change, {after} by the one after" in caught.value.hint


@pytest.mark.parametrize("wall", [time(0, 59), time(2, 0)])
def test_the_times_beside_a_change_are_plain(wall: time) -> None:
    for night in (date(2026, 3, 28), date(2026, 10, 24)):
        assert f"{local_instant_utc(wall, night, LONDON).astimezone(LONDON):%H:%M}" == f"{wall:%H:%M}"


def test_a_universal_time_that_a_short_night_left_out_is_refused() -> None:
    # From 12:00Z on 28 March to 11:00Z on 29 March.
    with pytest.raises(UnreadableTime):
        read_instant_utc("11:30Z", date(2026, 3, 28), LONDON)


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


def test_a_misspelt_zone_is_refused_with_the_nearest_names() -> None:
    with pytest.raises(UnknownZone) as caught:
        zone_named("Europe/Londn")
    assert "Europe/London" in caught.value.hint


@pytest.mark.parametrize(
    ("text", "planning", "expected"),
    [
        (None, False, utc(2026, 7, 10, 8)),
        (None, True, utc(2026, 7, 10, 20)),  # nine in the evening in London
        ("2026-07-08T20:40:00Z", False, utc(2026, 7, 8, 20, 40)),  # a full instant of any night
        (" 2026-07-08 20:40Z", True, utc(2026, 7, 8, 20, 40)),
        ("01:30", False, utc(2026, 7, 10, 0, 30)),  # of the night that ended this morning
        ("01:30", True, utc(2026, 7, 11, 0, 30)),  # of the night to come
        ("21:40", False, utc(2026, 7, 9, 20, 40)),
        ("21:40", True, utc(2026, 7, 10, 20, 40)),
        ("2026-12-05 21:00", True, utc(2026, 12, 5, 21)),  # in winter the clocks show universal time
        ("2026-07-08 21:00", False, utc(2026, 7, 8, 20)),
        ("2026-12-05", True, utc(2026, 12, 5, 21)),  # a date alone: nine that evening
        (" 2026-07-20 ", True, utc(2026, 7, 20, 20)),
    ],
)
def test_a_time_asked_for_at_nine_in_the_morning(
    text: str | None, planning: bool, expected: datetime
) -> None:
    assert instant_meant(text, utc(2026, 7, 10, 8), LONDON, planning=planning) == expected


def test_a_date_alone_is_no_time_for_a_record() -> None:
    with pytest.raises(UnreadableTime):
        instant_meant("2026-07-08", utc(2026, 7, 10, 8), LONDON)


@pytest.mark.parametrize("text", ["2026-10-25 01:30", "2026-03-29 01:30"])
def test_a_dated_time_that_came_twice_or_never_has_a_hint_that_can_be_typed(text: str) -> None:
    now = utc(2026, 7, 10, 8)
    with pytest.raises(ClockChanged) as error:
        instant_meant(text, now, LONDON, planning=True)
    for reading in error.value.readings:
        told = f"{reading:%Y-%m-%dT%H:%M}Z"
        assert told in error.value.hint
        assert instant_meant(told, now, LONDON, planning=True) == reading


@pytest.mark.parametrize(
    ("text", "is_one"),
    [
        ("2026-07-08", True),
        ("20260708T2040Z", True),
        (" 2026-07-08T20:40Z", True),
        ("20:40", False),
        ("", False),
    ],
)
def test_a_full_instant_begins_with_a_date(text: str, is_one: bool) -> None:
    assert begins_with_a_date(text) is is_one


@pytest.mark.parametrize(
    ("error", "message"),
    [
        (FutureTime(utc(2026, 7, 10, 20, 43), utc(2026, 7, 10, 20, 40)),
         "2026-07-10 20:43 UTC has not come yet; it is 2026-07-10 20:40 UTC."),
        (FutureDate(date(2026, 7, 11)), "2026-07-11 has not come yet."),
        (UnreadableTime("late"), "The time 'late' cannot be read."),
        (UnreadableDate("soon"), "The date 'soon' cannot be read."),
    ],
)  # fmt: skip
def test_what_is_refused_says_why(error: WrongInput, message: str) -> None:
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


def test_without_a_day_it_came_about_today_and_never_on_a_day_to_come(now: datetime) -> None:
    assert day_meant(None, now) == now.date()
    assert day_meant(date(2026, 2, 1), now) == date(2026, 2, 1)
    with pytest.raises(FutureDate):
        day_meant(date(2026, 3, 4), now)


def test_a_time_is_shown_in_the_zone_or_else_as_universal_time() -> None:
    instant = utc(2026, 7, 10, 20, 40)
    assert shown_local(instant, LONDON) == "21:40"
    assert shown_local(instant, None) == "20:40Z"
    assert shown_local(None, LONDON) == ""


@pytest.mark.parametrize(
    ("hour", "minute", "expected_hour"),
    [(5, 59, 5), (6, 0, 21), (11, 59, 21), (12, 0, 12), (23, 0, 23)],
)
def test_in_the_morning_a_plan_is_meant_for_nine_that_evening(
    hour: int, minute: int, expected_hour: int
) -> None:
    asked = datetime(2026, 7, 10, hour, minute, tzinfo=LONDON)
    meant = evening_meant(asked.astimezone(UTC), LONDON).astimezone(LONDON)
    assert (meant.date(), meant.hour) == (date(2026, 7, 10), expected_hour)


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
