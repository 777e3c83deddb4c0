"""Dates and times written as elsewhere, against what a person reads in them."""

import pytest

from obslog.grammar.other_notations import as_date, as_time
from obslog.grammar.typed_times import UnreadableDate, UnreadableTime, read_date, read_day


@pytest.mark.parametrize(
    "text", ["28/11/2026", "28.11.2026", "11/28/2026", "28-11-2026", "28 11 2026", "2026/11/28", "2026.11.28"]
)
def test_a_date_that_can_be_only_one_is_told_as_it_is_written_here(text: str) -> None:
    assert as_date(text) == "2026-11-28"
    with pytest.raises(UnreadableDate) as refused:
        read_date(text)
    assert refused.value.hint == "Write it as 2026-11-28."
    with pytest.raises(UnreadableDate) as refused:
        read_day(text)
    assert refused.value.hint == "Write it as 2026-11-28."


@pytest.mark.parametrize("text", ["3/4/2026", "31/11/2026", "28/11/26", "28.11.", "last night", ""])
def test_a_date_that_may_be_two_or_is_none_is_not_guessed(text: str) -> None:
    assert as_date(text) is None
    with pytest.raises(UnreadableDate) as refused:
        read_date(text)
    assert "2026-03-02" in refused.value.hint


def test_a_day_and_month_of_one_number_leave_nothing_open() -> None:
    assert as_date("4/4/2026") == "2026-04-04"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("8pm", "20:00"), ("8:31 PM", "20:31"), ("8.31pm", "20:31"), ("12am", "00:00"), ("12.15 a.m.", "00:15"),
        ("12pm", "12:00"), ("1 am", "01:00"),
    ],
)  # fmt: skip
def test_a_time_of_twelve_hours_is_told_in_twenty_four(text: str, told: str) -> None:
    assert as_time(text) == told
    assert UnreadableTime(text).hint == f"Write it as {told}."


@pytest.mark.parametrize("text", ["13pm", "0am", "8:75pm", "midnight", "pm", "20:31"])
def test_what_is_no_time_of_twelve_hours_is_not_guessed(text: str) -> None:
    assert as_time(text) is None
