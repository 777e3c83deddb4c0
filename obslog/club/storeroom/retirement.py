"""Taking kits and items out of use, writing items off, and taking them into use again."""

from datetime import date, datetime
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.absences import note_found
from obslog.club.register.club_day import day_in, day_meant
from obslog.club.register.named_records import plain_record
from obslog.club.register.things import Lendable, kind_word, lendable, thing_named
from obslog.club.register.typed_values import written
from obslog.club.storeroom.custody import paper_of, paper_to_write, refuse_if_lost_out, refuse_if_out
from obslog.club.storeroom.loan_records import lose_on_loan
from obslog.club.storeroom.waiting_list import give_up_places
from obslog.errors import ObslogError, WrongInput, quoted
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.name_lookup import by_name, table_of
from obslog.records.nameless import refuse_who_left
from obslog.records.tables.lending import Kit, Loan, LoanPart
from obslog.records.tables.logbook_tables import Equipment, Member
from obslog.records.tables.storeroom import Retirement
from obslog.times import not_a_future_date


class AlreadyRetired(WrongInput):
    def __init__(self, kind: str, name: str, on: date) -> None:
        super().__init__(
            f"The {kind} {name!r} was retired on {on}.", f"See it: obslog {kind} show, or list --all."
        )


def retire(
    database: Database, kind: str, name: str, why: str | None, on: date, now: datetime
) -> dict[str, Any]:
    """Take a kit, item, site or member of that whole name out of use; its history stays, and its name stays taken.

    A member's places in waiting lists are given up.
    Raises UnknownName, HasLeft, AlreadyRetired, IsOut where it is lent, OnLoanUntil where it was after that, or
    FutureDate.
    """
    not_a_future_date(on, now)
    with database.write(now, f"retire {kind} {name}") as session:
        record = by_name(session, table_of(kind), name, whole=True)
        if isinstance(record, Member):
            refuse_who_left(record.name)
        if record.retired_on is not None:
            raise AlreadyRetired(kind, record.name, record.retired_on)
        if isinstance(record, Kit | Equipment):
            refuse_if_out(session, record, day_in(session, now))
            _refuse_before_its_return(session, record, on)
        record.retired_on, record.retired_why = on, why
        if isinstance(record, Member):
            give_up_places(session, record, day_in(session, now))
        return plain_record(record)


class WrittenOff(WrongInput):
    def __init__(self, name: str, on: date) -> None:
        super().__init__(
            f"{name} was written off on {on}.", f"To have it back: obslog store reinstate {quoted(name)}"
        )


class OnLoanUntil(WrongInput):
    def __init__(self, name: str, until: date) -> None:
        super().__init__(f"{name} was on loan until {until}.", "Give that day or a later one with --on.")


class NotRetired(ObslogError):
    def __init__(self, name: str) -> None:
        super().__init__(f"{name} is not retired.", "See what is: obslog store list --with-retired")


class BeforeThat(WrongInput):
    def __init__(self, name: str, word: str, day: date, since: date) -> None:
        super().__init__(f"{name} was {word} on {since}, after {day}.", "Give a later day with --on.")


def _refuse_before_its_return(session: Session, what: Lendable, day: date) -> None:
    """What was on loan was the club's still, and in use."""
    of_kit = select(func.max(Loan.back_on)).where(Loan.kit_id == what.id)
    of_item = select(func.max(LoanPart.back_on)).where(LoanPart.equipment_id == what.id)
    until = session.scalar(of_kit if isinstance(what, Kit) else of_item)
    if until is not None and day < until:
        raise OnLoanUntil(what.name, until)


def write_off(
    database: Database,
    name: str,
    why: str,
    now: datetime,
    *,
    kind: str | None = None,
    on: date | None = None,
    lost_on_loan: bool = False,
) -> None:
    """Write an item off, with the reason: it is retired from that day if it was not, and counts for nothing any more.

    Raises UnknownName, WhichKind, WrittenOff, LostWhileOut, NotOut, BeforeThat, OnLoanUntil, FutureDate, UnusableText.
    """
    why = written(why, "The reason", 500)
    day = day_meant(database, on, now)
    with database.write(now, f"write {name} off") as session:
        item = thing_named(session, name, kind, whole=True)
        paper = paper_to_write(session, item.id)
        if paper.written_off_on is not None:
            raise WrittenOff(item.name, paper.written_off_on)
        if item.retired_on is not None and day < item.retired_on:
            raise BeforeThat(item.name, "retired", day, item.retired_on)
        _refuse_before_its_return(session, item, day)
        if lost_on_loan:
            lose_on_loan(session, item, day)
        refuse_if_lost_out(session, item, "write-off", day)
        paper.written_off_on = day
        item.retired_on = item.retired_on or day
        item.retired_why = f"{item.retired_why}; {why}" if item.retired_why else why


def reinstate(
    database: Database, name: str, now: datetime, *, kind: str | None = None, on: date | None = None
) -> None:
    """Take a retired kit or item into use again; what is written off or missing is there again with it.

    Raises UnknownName, WhichKind, NotRetired, BeforeThat, FutureDate.
    """
    day = day_meant(database, on, now)
    with database.write(now, f"take {name} into use again") as session:
        what = lendable(session, name, kind)
        call_act(session, f"take {what.name} into use again")
        if what.retired_on is None:
            raise NotRetired(what.name)
        if day < what.retired_on:
            raise BeforeThat(what.name, "retired", day, what.retired_on)
        is_kit = kind_word(what) == "kit"
        paper = None if is_kit else paper_of(session, what.id)
        session.add(
            Retirement(
                retired_on=what.retired_on,
                back_on=day,
                equipment_id=None if is_kit else what.id,
                kit_id=what.id if is_kit else None,
                retired_why=what.retired_why,
                written_off_on=paper.written_off_on if paper else None,
            )
        )
        what.retired_on = what.retired_why = None
        if paper is not None:
            paper.written_off_on = None
        if isinstance(what, Equipment):
            note_found(session, what, day)
