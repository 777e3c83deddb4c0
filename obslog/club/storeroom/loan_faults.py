"""Faults that borrowers report: kept with the part of the loan, and as a snag of the item, which is a work order."""

from collections.abc import Sequence
from datetime import date, datetime

from sqlalchemy.orm import Session

from obslog.club.register.club_day import day_in, day_meant
from obslog.club.register.things import lendable
from obslog.club.register.typed_values import written
from obslog.club.routine.club_steps import steps_in_force
from obslog.club.routine.part_conditions import no_such_part
from obslog.club.storeroom.loan_pages import LoanPage, loan_lines, loan_of, loan_page, parts_of_loan
from obslog.errors import WrongInput
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.tables.base import name_key
from obslog.records.tables.lending import Loan, LoanPart
from obslog.records.tables.logbook_tables import Snag
from obslog.vocabulary.steps import Step, StepKey


class WhichPart(WrongInput):
    def __init__(self, parts: list[str]) -> None:
        super().__init__(
            "The loan has several parts.", f"Say which one has the fault: --part, one of {', '.join(parts)}."
        )


class NotWhileOut(WrongInput):
    def __init__(self, day: date, out_on: date, back_on: date | None) -> None:
        until = f" to {back_on}" if back_on else ""
        super().__init__(f"It was not out on {day}, but from {out_on}{until}.", "Give a day within the loan.")


def report_fault(
    database: Database,
    name: str,
    text: str,
    now: datetime,
    *,
    part: str | None = None,
    step: StepKey = Step.ASSEMBLE,
    on: date | None = None,
    kind: str | None = None,
) -> LoanPage:
    """Keep a fault of a part of the loan of that name or reference; an item on record gets an open snag too.

    Without a `part` it is the one that the name itself is of, or the only one.
    A second fault of the same part is added to the first, whose day stays. Raises NoSuchLoan, WhichPart, UnknownName,
    NotWhileOut, FutureDate, UnusableText.
    """
    day, text = day_meant(database, on, now), written(text, "The fault")
    with database.write(now, f"note a fault of {name}") as session:
        loan = loan_of(session, name, kind)
        call_act(session, f"note a fault of {loan_lines(session, [loan], day_in(session, now))[0].what}")
        if day < loan.out_on or (loan.back_on is not None and day > loan.back_on):
            raise NotWhileOut(day, loan.out_on, loan.back_on)
        found, step = _part(session, loan, part, name, kind), steps_in_force(session).meant(step)
        found.fault = f"{found.fault}; {text}" if found.fault else text
        found.fault_on = min(day, found.fault_on or day)
        if found.equipment_id is not None:
            session.add(
                Snag(
                    at_utc=now,
                    step=step,
                    text=text,
                    equipment_id=found.equipment_id,
                    member_id=loan.member_id,
                )
            )
        session.flush()
        return loan_page(session, loan, day_in(session, now))


def _part(session: Session, loan: Loan, name: str | None, handle: str, kind: str | None) -> LoanPart:
    parts = parts_of_loan(session, loan)
    labels = [part.label for part in parts]
    if name is None:
        named = parts[0] if len(parts) == 1 else _item_named(session, parts, handle, kind)
        if named is None:
            raise WhichPart(labels)
        return named
    found = next((part for part in parts if name_key(part.label) == name_key(name)), None)
    if found is None:
        raise no_such_part(name, labels)
    return found


def _item_named(
    session: Session, parts: Sequence[LoanPart], handle: str, kind: str | None
) -> LoanPart | None:
    """The part by whose name the loan was found; None where it was by that of the kit or the reference."""
    try:
        what = lendable(session, handle, kind)
    except WrongInput:
        return None
    return next((part for part in parts if part.equipment_id == what.id), None)
