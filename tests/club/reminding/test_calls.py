"""Calls are noted with their loan, within its days, shown with the next list, and forgotten by undo."""

from datetime import date, datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.privacy.kept_about import kept_about
from obslog.club.privacy.leaving_members import leave
from obslog.club.register.undo import undo
from obslog.club.reminding.calls import Called, LastCall, last_calls, note_call
from obslog.club.reminding.reminders import LoanToTell, reminders_due
from obslog.club.storeroom.loan_faults import NotWhileOut
from obslog.club.storeroom.loan_pages import NoSuchLoan
from obslog.club.storeroom.loans import lend, take_back
from obslog.errors import ObslogError
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Change
from obslog.records.tables.officer import Call
from obslog.times import FutureDate


@pytest.fixture
def lending(club: Database, now: datetime) -> Database:
    lend(club, "Heron", "Ines", now, on=date(2026, 2, 1), due=date(2026, 2, 27))
    return club


def told(database: Database, now: datetime) -> LoanToTell:
    return reminders_due(database, now).reminders[0].loans[0]


def test_the_last_call_is_told_with_how_often(lending: Database, now: datetime) -> None:
    assert (told(lending, now).called_on, told(lending, now).times_called) == (None, 0)
    first = note_call(lending, "heron", now, said=" on  Thursday ")
    assert (first.what, first.called_on, first.note, first.times) == ("Heron", now.date(), "on  Thursday", 1)
    second = note_call(lending, first.reference, now, on=date(2026, 2, 28))
    assert isinstance(second, Called)
    assert second.times == 2
    loan = told(lending, now)
    assert (loan.called_on, loan.times_called, loan.call_note) == (now.date(), 2, "on  Thursday")
    assert (loan.times_reminded, loan.already_told) == (0, False)  # a call is not a letter
    undo(lending, now)
    undo(lending, now)
    assert told(lending, now).times_called == 0


def test_of_two_on_a_day_the_later_note_counts(lending: Database, now: datetime) -> None:
    note_call(lending, "Heron", now, said="nobody there")
    note_call(lending, "Heron", now + timedelta(minutes=5))
    with lending.read() as session:
        assert list(last_calls(session).values()) == [LastCall(now.date(), None, 2)]


@pytest.mark.parametrize(
    ("handle", "on", "said", "error"),
    [
        ("Bracken", None, None, NoSuchLoan),
        ("Heron", date(2026, 1, 31), None, NotWhileOut),
        ("Heron", date(2026, 3, 5), None, FutureDate),
        ("Heron", None, "x" * 501, ObslogError),
    ],
)
def test_what_cannot_be_is_refused(
    lending: Database, now: datetime, handle: str, on: date | None, said: str | None, error: type[Exception]
) -> None:
    with pytest.raises(error):
        note_call(lending, handle, now, on=on, said=said)
    assert told(lending, now).times_called == 0


def test_after_it_came_back_nobody_was_called_about_it(lending: Database, now: datetime) -> None:
    reference = note_call(lending, "Heron", now).reference
    take_back(lending, "Heron", now)
    with pytest.raises(NotWhileOut):
        note_call(lending, reference, now + timedelta(days=3))


def test_a_member_is_told_of_the_calls(lending: Database, now: datetime) -> None:
    note_call(lending, "Heron", now, said="on Thursday")
    assert "on Thursday" in str(kept_about(lending, "Ines", now))


def test_what_was_said_goes_when_the_member_leaves(lending: Database, now: datetime) -> None:
    note_call(lending, "Heron", now, said="three weeks in hospital")
    take_back(lending, "Heron", now)
    leave(lending, "Ines", now)
    with lending.read() as session:
        kept = [*session.scalars(select(Change.before)), *session.scalars(select(Change.after))]
        assert not any("hospital" in image for image in kept if image)
        assert session.execute(select(Call.called_on, Call.note)).all() == [(now.date(), None)]
