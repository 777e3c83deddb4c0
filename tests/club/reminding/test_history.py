"""What was written when: kept with the files or not at all, a day once, and taken back by one undo."""

from datetime import UTC, date, datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.register.undo import redo, undo
from obslog.club.reminding.escalation import to_see_to
from obslog.club.reminding.history import WrittenLetter, days_told, days_written, note_told, note_written
from obslog.club.reminding.reminders import reminders_due, written
from obslog.club.reminding.stages import Stage
from obslog.club.storeroom.loans import lend, renew
from obslog.club.storeroom.waiting_list import reserve
from obslog.records.database import Database
from obslog.records.tables.officer import Reminder as ReminderRow
from obslog.vocabulary.storeroom import ReminderLevel

DUE = date(2026, 2, 27)


@pytest.fixture
def lending(club: Database, now: datetime) -> Database:
    """On 2 March Ines has a mount three days over, and is next for an eyepiece that is there."""
    lend(club, "Heron", "Ines", now, on=date(2026, 2, 1), due=DUE)
    reserve(club, "Wide 25", "Ines", now)
    return club


def write(database: Database, now: datetime, text: str = "text") -> None:
    due = reminders_due(database, now)
    note_written(database, [written(reminder, text) for reminder in due.reminders], now, lambda: None)


def rows(database: Database) -> list[tuple[date, ReminderLevel, bool]]:
    query = select(ReminderRow.made_on, ReminderRow.level, ReminderRow.loan_id).order_by(ReminderRow.id)
    with database.read() as session:
        return [(day, level, loan is not None) for day, level, loan in session.execute(query)]


def test_a_row_for_each_loan_and_each_place(lending: Database, now: datetime) -> None:
    write(lending, now)
    day = date(2026, 3, 2)
    assert rows(lending) == [(day, ReminderLevel.OVERDUE, True), (day, ReminderLevel.NEXT, False)]


def test_the_next_list_says_when_and_how_often(lending: Database, now: datetime) -> None:
    write(lending, now)
    write(lending, now + timedelta(days=3))
    (reminder,) = reminders_due(lending, now + timedelta(days=4)).reminders
    (loan,), (place,) = reminder.loans, reminder.ready
    last = date(2026, 3, 5)
    assert (loan.reminded_on, loan.times_reminded, loan.written_before) == (last, 2, last)
    assert (place.reminded_on, place.times_reminded) == (last, 2)
    (reminder,) = reminders_due(lending, now + timedelta(days=3)).reminders
    assert reminder.loans[0].written_before == date(2026, 3, 2)


def test_a_day_counts_once_with_the_last_text(lending: Database, now: datetime) -> None:
    """SHA-256 of "abc": FIPS 180-4, and its examples of NIST."""
    write(lending, now)
    write(lending, now + timedelta(minutes=5), "abc")
    with lending.read() as session:
        kept = session.scalars(select(ReminderRow.text_sha256)).all()
    assert kept == ["ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"] * 2
    assert reminders_due(lending, now).reminders[0].loans[0].times_reminded == 1


def test_a_day_counts_once_though_two_laptops_wrote_on_it(lending: Database, now: datetime) -> None:
    """What another laptop noted on the same day comes as rows of its own."""
    write(lending, now)
    note_told(
        lending, [reminders_due(lending, now).reminders[0].loans[0].key], ("a.eml", "text"), now, lambda: None
    )
    with lending.write(now) as session:
        for row in session.scalars(select(ReminderRow)).all():
            values = {
                name: getattr(row, name)
                for name in ("made_on", "level", "loan_id", "reservation_id", "file_name")
            }
            session.add(ReminderRow(**values))
    (reminder,) = reminders_due(lending, now + timedelta(days=1)).reminders
    assert (reminder.loans[0].times_reminded, reminder.ready[0].times_reminded) == (1, 1)
    (loan,) = to_see_to(lending, datetime(2026, 4, 1, tzinfo=UTC)).loans
    assert loan.times_told == 1


def test_new_leaves_out_whom_nothing_new_is_to_be_told(lending: Database, now: datetime) -> None:
    """27 February and 14 days are 13 March: until then it is overdue, from then for a second reminder."""
    assert len(reminders_due(lending, now, only_new=True).reminders) == 1
    write(lending, now)
    assert reminders_due(lending, now.replace(day=12), only_new=True).reminders == []
    (reminder,) = reminders_due(lending, now.replace(day=13), only_new=True).reminders
    assert reminder.stage is Stage.SECOND
    write(lending, now.replace(day=13))
    assert reminders_due(lending, now.replace(day=26), only_new=True).reminders == []
    assert len(reminders_due(lending, now.replace(day=27), only_new=True).reminders) == 1


def test_an_extended_loan_is_told_of_anew(lending: Database, now: datetime) -> None:
    write(lending, now)
    renew(lending, "Heron", now, until=date(2026, 3, 28))
    later = now.replace(day=30)
    (reminder,) = reminders_due(lending, later, only_new=True).reminders
    assert (reminder.stage, reminder.loans[0].already_told) == (Stage.OVERDUE, False)


def test_one_undo_takes_all_of_it_back_and_redo_brings_it_again(lending: Database, now: datetime) -> None:
    write(lending, now)
    undo(lending, now)
    assert rows(lending) == []
    redo(lending, now)
    assert len(rows(lending)) == 2


def test_what_could_not_be_written_was_not_kept(lending: Database, now: datetime) -> None:
    def fails() -> None:
        raise OSError

    (reminder,) = reminders_due(lending, now).reminders
    with pytest.raises(OSError):
        note_written(lending, [written(reminder, "text")], now, fails)
    assert rows(lending) == []


def test_no_letter_is_no_act(lending: Database, now: datetime) -> None:
    called: list[int] = []
    none: list[WrittenLetter] = []
    note_written(lending, none, now, lambda: called.append(1))
    assert (rows(lending), called) == ([], [1])


def test_that_the_officer_was_told_is_kept_apart_from_reminders(lending: Database, now: datetime) -> None:
    """SHA-256 of "abc": FIPS 180-4, and its examples of NIST."""
    (reminder,) = reminders_due(lending, now).reminders
    loan = reminder.loans[0].key
    for later in (timedelta(), timedelta(hours=1), timedelta(days=2)):
        note_told(lending, [loan], ("officer.eml", "abc"), now + later, lambda: None)
    days = [date(2026, 3, 2), date(2026, 3, 4)]
    with lending.read() as session:
        assert days_told(session) == {loan: days}
        assert days_written(session) == {}
        kept = session.scalars(select(ReminderRow).order_by(ReminderRow.made_on)).all()
        assert {row.text_sha256 for row in kept} == {
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        }
    (reminder,) = reminders_due(lending, now + timedelta(days=3)).reminders
    assert reminder.loans[0].times_reminded == 0
    write(lending, now)  # on the same day, and yet a row of its own
    with lending.read() as session:
        assert days_written(session)[loan] == days[:1]
        assert days_told(session) == {loan: days}


def test_where_the_file_cannot_be_written_the_officer_was_not_told(lending: Database, now: datetime) -> None:
    def refuse() -> None:
        raise OSError("no room")

    (reminder,) = reminders_due(lending, now).reminders
    with pytest.raises(OSError, match="no room"):
        note_told(lending, [reminder.loans[0].key], ("officer.eml", "abc"), now, refuse)
    with lending.read() as session:
        assert days_told(session) == {}
