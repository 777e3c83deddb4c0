"""Where each item and kit is now: in the store, on loan, missing, retired or written off; one of these at a time."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.things import Lendable
from obslog.errors import ObslogError, quoted
from obslog.records.tables.base import name_key
from obslog.records.tables.lending import Absence, Kit, KitPart, Loan, LoanPart
from obslog.records.tables.logbook_tables import Equipment, Member
from obslog.records.tables.storeroom import Paper


class StoreStatus(StrEnum):
    """Where an item or kit is; it is in one of these at a time."""

    IN = "in"
    OUT = "out"
    MISSING = "missing"
    RETIRED = "retired"
    WRITTEN_OFF = "written off"


def due_words(due_on: date, day: date) -> str:
    """When what is on loan on a day is due back; put after "on loan"."""
    return f", {'and was ' if due_on < day else ''}due back on {due_on}"


class IsOut(ObslogError):
    """It is lent, perhaps within a kit. The refusal names nobody: whoever meets it need not be the officer.

    Who wants to borrow it can wait for it.
    """

    def __init__(self, name: str, due: str = "", kit: str | None = None, *, to_borrow: bool = True) -> None:
        back = f"Take {'its kit' if kit else 'it'} back first: obslog loan back {quoted(kit or name)}"
        wait = f"; or wait for it: obslog loan reserve {quoted(name)} MEMBER" if to_borrow else ""
        super().__init__(f"{name} is on loan{due}.", back + wait)


@dataclass(frozen=True, slots=True)
class Holder:
    """By which loan a member has it; `member` is None where borrowers are not to be named.

    Of a kit `labels` are the keys of its parts that are labels alone and went with it: others stayed behind.
    """

    loan_id: UUID
    member: str | None
    due_on: date
    labels: frozenset[UUID] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Custody:
    """What is on record of where something is now; nothing filled in: it is in the store."""

    holder: Holder | None = None
    missing_since: date | None = None
    retired_on: date | None = None
    retired_why: str | None = None
    written_off_on: date | None = None
    place: str | None = None

    @property
    def status(self) -> StoreStatus:
        if self.holder is not None:
            return StoreStatus.OUT
        if self.written_off_on is not None:
            return StoreStatus.WRITTEN_OFF
        if self.retired_on is not None:
            return StoreStatus.RETIRED
        return StoreStatus.MISSING if self.missing_since is not None else StoreStatus.IN

    @property
    def in_use(self) -> bool:
        """Neither retired nor written off."""
        return self.retired_on is None and self.written_off_on is None

    @property
    def since(self) -> date | None:
        """The day from which it has been missing, retired or written off."""
        return {
            StoreStatus.MISSING: self.missing_since,
            StoreStatus.RETIRED: self.retired_on,
            StoreStatus.WRITTEN_OFF: self.written_off_on,
        }.get(self.status)


def name_told(member: str | None, *, with_names: bool, but: str | None = None) -> str | None:
    """A borrower's name where it may be told: with names everybody's, else only that of whom one named oneself."""
    own = member is not None and but is not None and name_key(member) == name_key(but)
    return member if with_names or own else None


def who_has_it(member: str | None) -> str:
    """How it is said that something is lent: naming the borrower, or where none is to be named, nobody."""
    return f"with {member}" if member else "on loan"


def out_until(member: str | None, due_on: date) -> str:
    """The same in a sentence, with the day on which it is due back."""
    return f"{'out ' if member else ''}{who_has_it(member)}, due {due_on}"


def holders(session: Session, *, with_names: bool = False) -> dict[UUID, Holder]:
    """By which loan each item that is out is out, alone or within a kit, by its key; kits by theirs."""
    items = (
        select(LoanPart.equipment_id, Loan.id, Member.name, Loan.due_on)
        .join(Loan, LoanPart.loan_id == Loan.id)
        .join(Member, Loan.member_id == Member.id)
        .where(LoanPart.back_on.is_(None), LoanPart.equipment_id.is_not(None))
    )
    kits = (
        select(Loan.kit_id, Loan.id, Member.name, Loan.due_on)
        .join(Member, Loan.member_id == Member.id)
        .where(Loan.back_on.is_(None), Loan.kit_id.is_not(None))
    )
    went_along = _labels_out(session)
    return {
        key: Holder(
            loan, name_told(member, with_names=with_names), due, went_along.get((key, loan), frozenset())
        )
        for query in (items, kits)
        for key, loan, member, due in session.execute(query)
        if key is not None
    }


def _labels_out(session: Session) -> dict[tuple[UUID, UUID], frozenset[UUID]]:
    """The parts that are labels alone and are out, by the keys of their kit and of its loan."""
    query = (
        select(Loan.kit_id, Loan.id, LoanPart.kit_part_id)
        .join(Loan, LoanPart.loan_id == Loan.id)
        .where(LoanPart.back_on.is_(None), LoanPart.equipment_id.is_(None), Loan.kit_id.is_not(None))
    )
    found: dict[tuple[UUID, UUID], set[UUID]] = {}
    for kit, loan, part in session.execute(query):
        if kit is not None and part is not None:
            found.setdefault((kit, loan), set()).add(part)
    return {key: frozenset(parts) for key, parts in found.items()}


def state_of(session: Session, *, with_names: bool = False) -> dict[UUID, Custody]:
    """Where every item and kit on record is now, by its key; borrowers are named only `with_names`."""
    out = holders(session, with_names=with_names)
    absent = dict(
        session.execute(select(Absence.equipment_id, Absence.since).where(Absence.found_on.is_(None))).all()
    )
    items = select(
        Equipment.id, Equipment.retired_on, Equipment.retired_why, Paper.written_off_on, Paper.place
    ).outerjoin(Paper, Paper.equipment_id == Equipment.id)
    found = {
        key: Custody(
            holder=out.get(key),
            missing_since=absent.get(key),
            retired_on=retired_on,
            retired_why=why,
            written_off_on=written_off_on,
            place=place,
        )
        for key, retired_on, why, written_off_on, place in session.execute(items)
    }
    kits = select(Kit.id, Kit.retired_on, Kit.retired_why)
    return found | {
        key: Custody(holder=out.get(key), retired_on=retired_on, retired_why=why)
        for key, retired_on, why in session.execute(kits)
    }


def custody_of(session: Session, item: Equipment) -> Custody:
    """Where one item is now, as `state_of` has it of all: a tick of a scanner reads no more than it needs."""
    absent = select(Absence.since).where(Absence.equipment_id == item.id, Absence.found_on.is_(None))
    paper = paper_of(session, item.id)
    return Custody(
        holder=holders(session).get(item.id),
        missing_since=session.scalar(absent),
        retired_on=item.retired_on,
        retired_why=item.retired_why,
        written_off_on=paper.written_off_on if paper else None,
        place=paper.place if paper else None,
    )


def state_of_part(part: KitPart, state: Mapping[UUID, Custody]) -> Custody:
    """Where a part of a kit is; a label is out where it went with its kit, else in the store or missing."""
    if part.equipment_id is not None:
        return state[part.equipment_id]
    if part.missing_since is not None:
        return Custody(missing_since=part.missing_since)
    holder = state[part.kit_id].holder
    return Custody(holder=holder if holder is not None and part.id in holder.labels else None)


def open_loan(session: Session, what: Lendable) -> Loan | None:
    """The loan by which a kit or a single item was lent as such and is not back."""
    column = Loan.kit_id if isinstance(what, Kit) else Loan.equipment_id
    return session.scalar(select(Loan).where(column == what.id, Loan.back_on.is_(None)))


def refuse_if_out(session: Session, what: Lendable, day: date) -> None:
    """Raises IsOut where a member has it."""
    holder = holders(session).get(what.id)
    if holder is not None:
        raise is_out(session, what, holder, day, to_borrow=False)


def is_out(session: Session, what: Lendable, holder: Holder, day: date, *, to_borrow: bool = True) -> IsOut:
    """The refusal, as of a day; what went out within a kit comes back with it."""
    kit = session.scalar(select(Kit.name).join(Loan, Loan.kit_id == Kit.id).where(Loan.id == holder.loan_id))
    due = due_words(holder.due_on, day)
    return IsOut(what.name, due, None if isinstance(what, Kit) else kit, to_borrow=to_borrow)


class LostWhileOut(ObslogError):
    """An item that a borrower has cannot go missing in the store."""

    def __init__(self, session: Session, item: Equipment, loan: Loan, command: str, day: date) -> None:
        kit = session.get(Kit, loan.kit_id) if loan.kit_id else None
        what, name = quoted(kit.name if kit else item.name), quoted(item.name)
        super().__init__(
            f"{item.name} is on loan{due_words(loan.due_on, day)}.",
            f"Take it back: obslog loan back {what}. Did the borrower lose it? obslog store {command} {name} "
            f"--lost-on-loan{' --why lost' if command == 'write-off' else ''}",
        )


def refuse_if_lost_out(session: Session, item: Equipment, command: str, day: date) -> None:
    """Raises LostWhileOut where a member has it; `command` is what would say that the member lost it."""
    holder = holders(session).get(item.id)
    loan = session.get(Loan, holder.loan_id) if holder else None
    if loan is not None:
        raise LostWhileOut(session, item, loan, command, day)


def paper_of(session: Session, equipment_id: UUID) -> Paper | None:
    return session.scalar(select(Paper).where(Paper.equipment_id == equipment_id))


def paper_to_write(session: Session, equipment_id: UUID) -> Paper:
    """The item's paper, made where there is none yet."""
    paper = paper_of(session, equipment_id)
    if paper is None:
        paper = Paper(equipment_id=equipment_id)
        session.add(paper)
        session.flush()
    return paper
