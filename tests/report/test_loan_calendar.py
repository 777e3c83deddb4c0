"""Due dates as a calendar, read back by the library for calendars."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest
from icalendar import Calendar, Event

from obslog.club.storeroom.loan_pages import LoanLine
from obslog.report.loan_calendar import loan_calendar

NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
KEY = UUID("017f22e2-79b0-7cc3-98c4-dc0c0c07398f")
LOAN = LoanLine(
    reference="07398f",
    what="Evening kit; the big one, Ä",
    kind="kit",
    member="Ines",
    out_on=date(2026, 2, 1),
    due_on=date(2026, 3, 1),
    back_on=None,
    days_left=-1,
    overdue=True,
    due_soon=False,
    renewals=0,
    waiting=0,
)


def event_of(loan: LoanLine, *, with_names: bool = False) -> Event:
    calendar = Calendar.from_ical(loan_calendar([(KEY, loan)], NOW, with_names=with_names))
    assert calendar["version"] == "2.0"
    (event,) = calendar.walk("VEVENT")
    assert isinstance(event, Event)
    return event


def test_an_event_is_a_whole_day_on_the_due_date() -> None:
    event = event_of(LOAN)
    assert event.decoded("dtstart") == date(2026, 3, 1)
    assert event.decoded("dtend") - event.decoded("dtstart") == timedelta(days=1)
    assert event.decoded("dtstamp") == NOW
    assert event["summary"] == "Due back: Evening kit; the big one, Ä"


def test_who_has_it_is_told_only_where_asked() -> None:
    assert b"Ines" not in loan_calendar([(KEY, LOAN)], NOW, with_names=False)
    assert "Ines" in str(event_of(LOAN, with_names=True)["summary"])


def test_a_second_export_updates_the_first() -> None:
    """RFC 5545, 3.8.7.4: the same UID with a higher SEQUENCE replaces what was known."""
    first = event_of(LOAN)
    renewed = event_of(replace(LOAN, due_on=date(2026, 4, 1), renewals=1))
    back = event_of(replace(LOAN, due_on=date(2026, 4, 1), renewals=1, back_on=date(2026, 3, 20)))
    assert first["uid"] == renewed["uid"] == back["uid"] == str(KEY)
    assert [event["sequence"] for event in (first, renewed, back)] == [0, 1, 2]
    assert [event["status"] for event in (first, renewed, back)] == ["CONFIRMED", "CONFIRMED", "CANCELLED"]


def test_a_due_date_is_a_date_and_no_instant() -> None:
    """RFC 5545, 3.2.20 and 3.3.4: VALUE=DATE, eight digits, no zone; the day would shift in other zones otherwise."""
    lines = loan_calendar([(KEY, LOAN)], NOW, with_names=False).split(b"\r\n")
    assert b"DTSTART;VALUE=DATE:20260301" in lines
    assert b"DTEND;VALUE=DATE:20260302" in lines


def test_each_loan_has_an_event_of_its_own() -> None:
    other = UUID("017f22e2-79b0-7cc3-98c4-dc0c0c073990")
    content = loan_calendar([(KEY, LOAN), (other, LOAN)], NOW, with_names=False)
    assert [event["uid"] for event in Calendar.from_ical(content).walk("VEVENT")] == [str(KEY), str(other)]


@pytest.mark.parametrize("sign", ["a", "ä", "望", "🔭"])
@pytest.mark.parametrize("length", [1, 58, 59, 60, 61, 74, 75, 76, 300])
def test_lines_are_no_longer_than_the_standard_allows(length: int, sign: str) -> None:
    """RFC 5545, 3.1: lines of at most 75 octets, each ended by CRLF, folded by a space; unfolded nothing is lost."""
    content = loan_calendar([(KEY, replace(LOAN, what=sign * length))], NOW, with_names=False)
    assert content.endswith(b"\r\n")
    assert content.count(b"\n") == content.count(b"\r") == content.count(b"\r\n")
    lines = content.split(b"\r\n")
    assert max(len(line) for line in lines) <= 75
    for line in lines:
        line.decode()  # no sign is cut in two
    unfolded = content.replace(b"\r\n ", b"").decode().split("\r\n")
    assert f"SUMMARY:Due back: {sign * length}" in unfolded
