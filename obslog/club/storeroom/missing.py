"""Things that go missing and are found, that are written off, and that come back into use."""

from datetime import date, datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.typed_values import written
from obslog.club.storeroom.custody import (
    holders,
    kind_word,
    lendable,
    note_absence,
    paper_of,
    paper_to_write,
    thing_named,
)
from obslog.club.storeroom.kits import note_missing
from obslog.club.storeroom.loans import lose_on_loan
from obslog.errors import ObslogError, WrongInput, quoted
from obslog.records.opening import Database
from obslog.records.tables.lending import Kit, KitPart, Loan
from obslog.records.tables.logbook_tables import Equipment
from obslog.records.tables.storeroom import Retirement
from obslog.times import not_a_future_date


class LostWhileOut(ObslogError):
    """A thing that a borrower has cannot go missing in the store."""

    def __init__(self, session: Session, thing: Equipment, loan: Loan, command: str) -> None:
        kit = session.get(Kit, loan.kit_id) if loan.kit_id else None
        what, name = quoted(kit.name if kit else thing.name), quoted(thing.name)
        super().__init__(
            f"{thing.name} is out on loan, due back on {loan.due_on}.",
            f"Take it back: obslog loan back {what}. Did the borrower lose it? obslog store {command} {name} "
            f"--lost-on-loan{' --why lost' if command == 'write-off' else ''}",
        )


class NotMissing(ObslogError):
    def __init__(self, name: str) -> None:
        super().__init__(f"{name} is not missing.", "See what is: obslog store list --missing")


class MissingAlready(WrongInput):
    def __init__(self, name: str, since: date) -> None:
        super().__init__(
            f"{name} is missing since {since}.", f"Found again: obslog store found {quoted(name)}"
        )


class WrittenOff(WrongInput):
    def __init__(self, name: str, on: date) -> None:
        super().__init__(
            f"{name} was written off on {on}.", f"To have it back: obslog store reinstate {quoted(name)}"
        )


class NotRetired(ObslogError):
    def __init__(self, name: str) -> None:
        super().__init__(f"{name} is not retired.", "See what is: obslog store list --with-retired")


class BeforeThat(WrongInput):
    def __init__(self, name: str, word: str, day: date, since: date) -> None:
        super().__init__(f"{name} was {word} on {since}, after {day}.", "Give a later day with --on.")


def go_missing(
    database: Database,
    name: str,
    now: datetime,
    *,
    kind: str | None = None,
    on: date | None = None,
    lost_on_loan: bool = False,
) -> None:
    """Say that a thing is missing since a day, out of the store or, where said so, out of a borrower's hands.

    Raises UnknownName, WhichKind, MissingAlready, LostWhileOut, NotOut, FutureDate, BadDate.
    """
    day = not_a_future_date(on or now.date(), now)
    with database.write(now, f"{name} is missing") as session:
        thing = thing_named(session, name, kind)
        paper = paper_of(session, thing.id)
        if paper is not None and paper.missing_since is not None:
            raise MissingAlready(thing.name, paper.missing_since)
        if lost_on_loan:
            lose_on_loan(session, thing, day)
            return
        _refuse_if_out(session, thing, "missing")
        _set_missing(session, thing, day, missing=True)


def be_found(
    database: Database, name: str, now: datetime, *, kind: str | None = None, on: date | None = None
) -> None:
    """Say that a missing thing is found. Raises UnknownName, WhichKind, NotMissing, BeforeThat, FutureDate."""
    day = not_a_future_date(on or now.date(), now)
    with database.write(now, f"{name} is found") as session:
        thing = thing_named(session, name, kind)
        paper = paper_of(session, thing.id)
        if paper is None or paper.missing_since is None:
            raise NotMissing(thing.name)
        if day < paper.missing_since:
            raise BeforeThat(thing.name, "missing", day, paper.missing_since)
        _set_missing(session, thing, day, missing=False)


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
    """Write a thing off, with the reason: it is retired from that day if it was not, and counts for nothing any more.

    Raises UnknownName, WhichKind, WrittenOff, LostWhileOut, NotOut, BeforeThat, FutureDate, UnusableText.
    """
    why = written(why, "The reason", 500)
    day = not_a_future_date(on or now.date(), now)
    with database.write(now, f"write {name} off") as session:
        thing = thing_named(session, name, kind)
        paper = paper_to_write(session, thing.id)
        if paper.written_off_on is not None:
            raise WrittenOff(thing.name, paper.written_off_on)
        if thing.retired_on is not None and day < thing.retired_on:
            raise BeforeThat(thing.name, "retired", day, thing.retired_on)
        if lost_on_loan:
            lose_on_loan(session, thing, day)
        _refuse_if_out(session, thing, "write-off")
        paper.written_off_on = day
        thing.retired_on = thing.retired_on or day
        thing.retired_why = f"{thing.retired_why}; {why}" if thing.retired_why else why


def reinstate(
    database: Database, name: str, now: datetime, *, kind: str | None = None, on: date | None = None
) -> None:
    """Take a retired kit or thing into use again; what is written off or missing is there again with it.

    Raises UnknownName, WhichKind, NotRetired, BeforeThat, FutureDate.
    """
    day = not_a_future_date(on or now.date(), now)
    with database.write(now, f"take {name} into use again") as session:
        what = lendable(session, name, kind)
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
            if paper.missing_since is not None and isinstance(what, Equipment):
                _set_missing(session, what, day, missing=False)


def _refuse_if_out(session: Session, thing: Equipment, command: str) -> None:
    holder = holders(session).get(thing.id)
    loan = session.get(Loan, holder.loan_id) if holder else None
    if loan is not None:
        raise LostWhileOut(session, thing, loan, command)


def _set_missing(session: Session, thing: Equipment, day: date, *, missing: bool) -> None:
    """On the thing's own paper, and on the part it is of a kit."""
    part = session.scalar(select(KitPart).where(KitPart.equipment_id == thing.id, KitPart.left_on.is_(None)))
    if part is not None:
        note_missing(session, part, day, missing=missing)
    else:
        note_absence(session, thing.id, day, missing=missing)
