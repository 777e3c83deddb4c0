"""Times of day as people write them, in every zone, and what they are refused for."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.errors import OutOfRange, WrongInput
from obslog.grammar.typed_times import (
    AmbiguousTime,
    ClockChanged,
    ImpossibleTime,
    OutsideNight,
    UnreadableDate,
    UnreadableTime,
    begins_with_a_date,
    evening_meant,
    instant_meant,
    local_instant_utc,
    read_instant_utc,
)
from obslog.times import night_bounds_utc, night_of
from tests.every_zone import ZONES

LONDON = ZoneInfo("Europe/London")
START_2015, END_2035 = (datetime(year, 1, 1) for year in (2015, 2035))  # noqa: DTZ001 - hypothesis adds the zone
# From 2015 on no zone has left out or repeated a whole day.
LATE_INSTANT = st.datetimes(START_2015, END_2035, timezones=st.just(UTC)).map(
    lambda t: t.replace(microsecond=0)
)


def utc(*parts: int) -> datetime:
    return datetime(*parts, tzinfo=UTC)  # type: ignore[misc,arg-type]


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
    ("error", "message"),
    [
        (UnreadableTime("late"), "The time 'late' cannot be read."),
        (UnreadableDate("soon"), "The date 'soon' cannot be read."),
    ],
)
def test_what_cannot_be_read_is_said(error: WrongInput, message: str) -> None:
    assert error.message == message
    assert error.hint
