"""Where things are: in the store, with a member, missing, or retired; each in one of these at a time."""

from dataclasses import dataclass
from datetime import date
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.things import Lendable
from obslog.errors import ObslogError, quoted
from obslog.records.tables.lending import Absence, Kit, Loan, LoanPart
from obslog.records.tables.logbook_tables import Equipment, Member
from obslog.records.tables.storeroom import Paper


class IsOut(ObslogError):
    def __init__(self, name: str, with_whom: str, due_on: date | None) -> None:
        due = f", due back on {due_on}" if due_on else ""
        super().__init__(
            f"{name} is out with {with_whom}{due}.",
            f"Take it back first: obslog loan back {quoted(name)}; or wait for it: obslog loan reserve",
        )


@dataclass(frozen=True, slots=True)
class Holder:
    """Who has a thing, by which loan."""

    loan_id: UUID
    member: str
    due_on: date


def open_loan(session: Session, what: Lendable) -> Loan | None:
    """The loan by which a kit or a single thing was lent as such and is not back."""
    column = Loan.kit_id if isinstance(what, Kit) else Loan.equipment_id
    return session.scalar(select(Loan).where(column == what.id, Loan.back_on.is_(None)))


def holders(session: Session) -> dict[UUID, Holder]:
    """Who has each thing that is out, alone or within a kit, by the thing's key; kits by theirs."""
    query = (
        select(LoanPart.equipment_id, Loan.id, Member.name, Loan.due_on)
        .join(Loan, LoanPart.loan_id == Loan.id)
        .join(Member, Loan.member_id == Member.id)
        .where(LoanPart.back_on.is_(None), LoanPart.equipment_id.is_not(None))
    )
    found = {key: Holder(loan, member, due) for key, loan, member, due in session.execute(query) if key}
    kits = (
        select(Loan.kit_id, Loan.id, Member.name, Loan.due_on)
        .join(Member, Loan.member_id == Member.id)
        .where(Loan.back_on.is_(None), Loan.kit_id.is_not(None))
    )
    return found | {key: Holder(loan, member, due) for key, loan, member, due in session.execute(kits) if key}


def refuse_if_out(session: Session, what: Lendable) -> None:
    """Raises IsOut where it is in a member's hands."""
    holder = holders(session).get(what.id)
    if holder is not None:
        raise IsOut(what.name, holder.member, holder.due_on)


def paper_of(session: Session, equipment_id: UUID) -> Paper | None:
    return session.scalar(select(Paper).where(Paper.equipment_id == equipment_id))


def paper_to_write(session: Session, equipment_id: UUID) -> Paper:
    """The thing's paper, made where there is none yet."""
    paper = paper_of(session, equipment_id)
    if paper is None:
        paper = Paper(equipment_id=equipment_id)
        session.add(paper)
        session.flush()
    return paper


def note_absence(session: Session, equipment_id: UUID, day: date, *, missing: bool) -> None:
    """Write on the thing's paper that it is missing since a day, or found on it; and keep from when to when it was."""
    paper = paper_to_write(session, equipment_id)
    absence = session.scalar(
        select(Absence).where(Absence.equipment_id == equipment_id, Absence.found_on.is_(None))
    )
    if missing:
        paper.missing_since = absence.since if absence else day
        if absence is None:
            session.add(Absence(equipment_id=equipment_id, since=day))
        return
    paper.missing_since = None
    if absence is not None:
        absence.found_on = max(day, absence.since)


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


def refuse_if_lost_out(session: Session, thing: Equipment, command: str) -> None:
    holder = holders(session).get(thing.id)
    loan = session.get(Loan, holder.loan_id) if holder else None
    if loan is not None:
        raise LostWhileOut(session, thing, loan, command)
