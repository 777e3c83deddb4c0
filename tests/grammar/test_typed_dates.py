"""Dates as people write them, those that are none, and the days that mean another date tomorrow."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.errors import OutOfRange
from obslog.grammar.typed_times import (
    DayWord,
    NoSuchDay,
    UnreadableDate,
    lasting_date,
    read_date,
    read_day,
    read_full_utc,
)


@pytest.mark.parametrize("text", ["", "2026-02-30", "02/03/2026", "tomorrow", "2026-13-01"])
def test_what_is_no_date_is_refused(text: str) -> None:
    with pytest.raises(UnreadableDate):
        read_date(text)


@pytest.mark.parametrize(("text", "days"), [("2026-11-31", 30), ("2026-02-29", 28), ("20280230", 29)])
def test_a_day_that_its_month_does_not_have_is_told_so(text: str, days: int) -> None:
    with pytest.raises(NoSuchDay, match=f"no day {text}: that month has {days} days"):
        read_date(text)


@pytest.mark.parametrize(
    ("text", "zone", "meant"),
    [
        ("yesterday", "Europe/London", "2026-03-02"),
        (" Today ", "Europe/London", "2026-03-03"),
        ("yesterday", "Pacific/Auckland", "2026-03-03"),  # 13 hours ahead: the 4th there already
        ("yesterday", "Pacific/Honolulu", "2026-03-01"),  # 10 hours behind: the 2nd there still
        ("2026-01-05", "Europe/London", "2026-01-05"),
        ("last week", "Europe/London", "last week"),
    ],
)
def test_yesterday_is_a_date_by_the_clocks_of_the_site(text: str, zone: str, meant: str) -> None:
    now = datetime(2026, 3, 3, 9 if zone == "Pacific/Honolulu" else 12, 30, tzinfo=UTC)
    assert lasting_date(text, now, ZoneInfo(zone)) == meant


@pytest.mark.parametrize("text", ["yesterday", " TODAY "])
def test_a_word_for_a_day_is_kept_until_its_place_is_known(text: str) -> None:
    assert read_day(text) == DayWord(text.strip().lower())
    assert read_day("2026-03-02") == date(2026, 3, 2)


def test_what_is_no_day_is_told_what_may_be_written() -> None:
    with pytest.raises(UnreadableDate) as caught:
        read_day("tomorrow")
    assert caught.value.hint == "Write it like 2026-03-02, or today or yesterday."
    with pytest.raises(NoSuchDay):
        read_day("2026-11-31")


@pytest.mark.parametrize("text", ["0001-01-01", "1899-12-31", "2201-01-01", "9999-12-31"])
def test_a_date_that_nobody_means_is_refused(text: str) -> None:
    with pytest.raises(OutOfRange):
        read_date(text)


@given(st.dates(date(1900, 1, 1), date(2200, 12, 31)))
def test_a_date_is_read_back(day: date) -> None:
    assert read_date(f" {day.isoformat()} ") == day


@pytest.mark.parametrize("text", ["1900-01-01", "2200-12-31"])
def test_the_first_and_the_last_day_that_may_be_meant_are_read(text: str) -> None:
    assert read_date(text).isoformat() == text
    assert read_full_utc(f"{text}T12:00:00Z").date() == read_date(text)
