"""That a borrower was telephoned about a loan, and what was said: noted beside the reminders that were written."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.register.club_day import day_in, day_meant
from obslog.club.storeroom.loan_faults import NotWhileOut
from obslog.club.storeroom.loan_pages import loan_lines, loan_of
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.tables.officer import Call

SAID = fields.TextField("What was said", 500)


@dataclass(frozen=True, slots=True)
class LastCall:
    """The last call about a loan: its day, what was said, and how many there were."""

    called_on: date
    note: str | None
    times: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Called:
    """A call that was noted, and how many there are of that loan now. It names no borrower."""

    what: str
    reference: str
    called_on: date
    note: str | None
    times: int


def note_call(
    database: Database,
    handle: str,
    now: datetime,
    *,
    said: str | None = None,
    on: date | None = None,
    kind: str | None = None,
) -> Called:
    """Note that the borrower of what has that name, or of the loan of that reference, was telephoned.

    Raises NoSuchLoan, WhichKind, NotWhileOut, FutureDate, UnusableText.
    """
    day, note = day_meant(database, on, now), SAID.checked_or_none(said)
    with database.write(now, f"note a call about {handle}") as session:
        loan = loan_of(session, handle, kind)
        (line,) = loan_lines(session, [loan], day_in(session, now))
        call_act(session, f"note a call about {line.what}")
        if day < loan.out_on or (loan.back_on is not None and day > loan.back_on):
            raise NotWhileOut(day, loan.out_on, loan.back_on)
        session.add(Call(loan_id=loan.id, called_on=day, note=note))
        session.flush()
        return Called(
            what=line.what,
            reference=line.reference,
            called_on=day,
            note=note,
            times=last_calls(session)[loan.id].times,
        )


def last_calls(session: Session) -> Mapping[UUID, LastCall]:
    """The last call about each loan, by the key of the loan; of two on one day the one noted last."""
    found: dict[UUID, LastCall] = {}
    for call in session.scalars(select(Call).order_by(Call.called_on, Call.id)):
        before = found.get(call.loan_id)
        found[call.loan_id] = LastCall(call.called_on, call.note, before.times + 1 if before else 1)
    return found
