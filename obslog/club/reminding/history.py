"""What was written when: noted with the files, and read for the next list. A day counts once.

A reminder goes to the borrower, and its row names no file; that the officer was told of a loan is a row which names it.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from hashlib import sha256
from uuid import UUID

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session

from obslog.club.register.club_day import day_in
from obslog.club.reminding.stages import Stage
from obslog.english import counted
from obslog.records.database import Database
from obslog.records.tables.officer import Reminder as ReminderRow
from obslog.vocabulary.storeroom import ReminderLevel

LEVELS: Mapping[Stage, ReminderLevel] = {
    Stage.DUE_SOON: ReminderLevel.DUE_SOON,
    Stage.DUE: ReminderLevel.DUE,
    Stage.OVERDUE: ReminderLevel.OVERDUE,
    Stage.SECOND: ReminderLevel.ESCALATED,
    Stage.OFFICER: ReminderLevel.ESCALATED,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenLetter:
    """A letter that is to be a file: its text, the loans with their stages, and the places in waiting lists."""

    text: str
    loans: Mapping[UUID, Stage]
    places: Sequence[UUID]


def days_written(session: Session) -> dict[UUID, list[date]]:
    """On which days there was a reminder of each loan, or of a place in a waiting list, the first day first."""
    return _days(session, ReminderRow.file_name.is_(None))


def days_told(session: Session) -> dict[UUID, list[date]]:
    """On which days the officer was told of each loan, the first day first."""
    return _days(session, ReminderRow.file_name.is_not(None))


def _days(session: Session, which: ColumnElement[bool]) -> dict[UUID, list[date]]:
    query = (
        select(ReminderRow.loan_id, ReminderRow.reservation_id, ReminderRow.made_on)
        .where(which)
        .order_by(ReminderRow.made_on, ReminderRow.id)
    )
    found: dict[UUID, list[date]] = {}
    for loan, place, day in session.execute(query):
        of_it = loan or place
        assert of_it is not None  # the table's own check: one of the two
        days = found.setdefault(of_it, [])
        if day not in days:  # two laptops may have written on one day
            days.append(day)
    return found


def note_written(
    database: Database, letters: Sequence[WrittenLetter], now: datetime, write_files: Callable[[], None]
) -> None:
    """Note the letters and write their files, both or neither; one undo takes back what was noted, not the files.

    Once more on the same day is no second reminder: what was noted that day is changed.
    """
    if not letters:
        write_files()
        return
    with database.write(now, f"write {counted(len(letters), 'reminder')}") as session:
        today = day_in(session, now)
        for letter in letters:
            _note(session, letter, today)
        session.flush()
        write_files()


def note_told(
    database: Database,
    loans: Sequence[UUID],
    letter: tuple[str, str],
    now: datetime,
    write_files: Callable[[], None],
) -> None:
    """Note that the officer was told of these loans, by the mail's file name and text, and write it: both or neither.

    One undo takes back what was noted, not the file; once more on the same day is not told twice.
    """
    file_name, text = letter
    with database.write(now, f"write to the officer about {counted(len(loans), 'loan')}") as session:
        today = day_in(session, now)
        for loan in loans:
            row = _row(session, today, loan_id=loan, to_the_officer=True)
            row.level, row.file_name = ReminderLevel.ESCALATED, file_name
            row.text_sha256 = sha256(text.encode()).hexdigest()
            session.add(row)
        session.flush()
        write_files()


def _note(session: Session, letter: WrittenLetter, today: date) -> None:
    digest = sha256(letter.text.encode()).hexdigest()
    for loan, stage in letter.loans.items():
        row = _row(session, today, loan_id=loan)
        row.level, row.text_sha256 = LEVELS[stage], digest
        session.add(row)
    for place in letter.places:
        row = _row(session, today, reservation_id=place)
        row.text_sha256 = digest
        session.add(row)


def _row(
    session: Session,
    today: date,
    loan_id: UUID | None = None,
    reservation_id: UUID | None = None,
    *,
    to_the_officer: bool = False,
) -> ReminderRow:
    """What was noted today of that loan or place, else a new row."""
    of_it = (
        ReminderRow.loan_id == loan_id
        if loan_id is not None
        else ReminderRow.reservation_id == reservation_id
    )
    to_whom = ReminderRow.file_name.is_not(None) if to_the_officer else ReminderRow.file_name.is_(None)
    found = session.scalar(select(ReminderRow).where(ReminderRow.made_on == today, of_it, to_whom))
    return found or ReminderRow(
        made_on=today, level=ReminderLevel.NEXT, loan_id=loan_id, reservation_id=reservation_id
    )
