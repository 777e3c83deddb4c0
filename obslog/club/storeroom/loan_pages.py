"""Loans as they are shown: lists by due date, and one loan part by part with what differs between out and in."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TypeVar
from uuid import UUID

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session, aliased

from obslog.club.register.rule_book import rules_in_force
from obslog.club.register.things import lendable
from obslog.club.storeroom.custody import holders, name_told, open_loan
from obslog.club.storeroom.waiting_list import still_waits
from obslog.errors import ObslogError, UnknownName
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.keys import reference_of
from obslog.records.tables.lending import Kit, KitPart, Loan, LoanPart, Renewal, Reservation
from obslog.records.tables.logbook_tables import Equipment, Member
from obslog.vocabulary.storeroom import Condition

N = TypeVar("N", Loan, Reservation)
LATELY = timedelta(days=400)


class NoSuchLoan(ObslogError):
    def __init__(self, handle: str) -> None:
        super().__init__(
            f"No loan of {handle!r} is open, and none has that reference.", "See them: obslog loan list --all"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class LoanLine:
    """A loan in a list. `days_left` is negative past the due date, None when back.

    `member` is None where it is not told who has it. `waiting` counts who waits for what is out, or comes back now.
    """

    reference: str
    what: str
    kind: str
    member: str | None
    out_on: date
    due_on: date
    back_on: date | None
    days_left: int | None
    overdue: bool
    due_soon: bool
    renewals: int
    waiting: int

    @property
    def state(self) -> str:
        """How pressing it is, in a word, as reminders have it; empty of what has time, or is back.

        From its last day to the end of the days of grace it is due: the former is among `due_soon` too.
        """
        if self.overdue:
            return "overdue"
        if self.days_left is not None and self.days_left <= 0:
            return "due"
        return "due soon" if self.due_soon else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoanPartLine:
    """A part as it went out and came back; `differs` says how, None where it does not or nobody looked twice.

    Conditions are in the club's words. `fault` was reported while it was out; `came_with_it` where so early that it is
    not held against the borrower.
    """

    part: str
    condition_out: str | None
    note_out: str | None
    condition_in: str | None
    note_in: str | None
    differs: str | None
    fault: str | None
    fault_on: date | None
    came_with_it: bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LoanPage:
    """One loan with all that was written down; `key` is its whole key.

    `out_again` is true of a loan that ended just now where another, noted on another laptop, had waited for that.
    """

    key: UUID
    loan: LoanLine
    parts: list[LoanPartLine]
    left_behind: list[str]
    handed_over_from: str | None
    issued_by: str | None
    received_by: str | None
    terms_agreed: bool | None
    trained: bool | None
    deposit: float | None
    deposit_returned: bool | None
    currency: str | None
    note: str | None
    out_again: bool = False


def list_loans(
    database: Database,
    today: date,
    *,
    member: str | None = None,
    overdue: bool = False,
    due_within_days: int | None = None,
    with_back: bool = False,
) -> list[LoanLine]:
    """The loans that are out, the first due first; those that are back only where asked. Raises UnknownName."""
    query = select(Loan).order_by(Loan.due_on, Loan.id)
    with database.read() as session:
        if not with_back:
            query = query.where(Loan.back_on.is_(None))
        if member is not None:
            query = query.where(Loan.member_id == by_name(session, Member, member).id)
        if due_within_days is not None:
            last = today + timedelta(days=due_within_days)
            query = query.where(Loan.back_on.is_(None), Loan.due_on <= last)
        lines = loan_lines(session, session.scalars(query).all(), today)
    return [line for line in lines if line.overdue or not overdue]


def loans_for_calendar(database: Database, today: date) -> list[tuple[UUID, LoanLine]]:
    """The loans that are out, and those that came back lately, so that their events can be taken away; with keys."""
    since = today - LATELY
    query = (
        select(Loan).where(Loan.back_on.is_(None) | (Loan.back_on >= since)).order_by(Loan.due_on, Loan.id)
    )
    with database.read() as session:
        loans = session.scalars(query).all()
        return list(zip([loan.id for loan in loans], loan_lines(session, loans, today), strict=True))


def show_loan(database: Database, handle: str, today: date, kind: str | None = None) -> LoanPage:
    """The open loan by which a kit or item is out, or the loan of that reference. Raises NoSuchLoan."""
    with database.read() as session:
        return loan_page(session, loan_of(session, handle, kind), today)


def line_without_names(line: LoanLine, but: str | None = None) -> LoanLine:
    """The loan as any member may see it: what, and when it is due; of names only the one that was asked by."""
    return replace(line, member=name_told(line.member, with_names=False, but=but))


def page_without_names(page: LoanPage, but: str | None = None) -> LoanPage:
    """The page without who has it, and who had it before."""
    return replace(page, loan=line_without_names(page.loan, but), handed_over_from=None)


def loan_of(session: Session, handle: str, kind: str | None = None) -> Loan:
    """The open loan of what has that whole name; else the loan of that reference; else of what the name begins.

    What went out within a kit is out by the loan of the kit.
    """
    loan = _open_loan_of(session, handle, kind, whole=True)
    if loan is not None:
        return loan
    keys = [key for key in session.scalars(select(Loan.id)) if reference_of(key) == handle.lower()]
    found = session.get(Loan, keys[0]) if len(keys) == 1 else _open_loan_of(session, handle, kind)
    if found is None:
        raise NoSuchLoan(handle)
    return found


def _open_loan_of(session: Session, name: str, kind: str | None, *, whole: bool = False) -> Loan | None:
    try:
        what = lendable(session, name, kind, whole=whole)
    except UnknownName:
        return None
    holder = holders(session).get(what.id)
    return open_loan(session, what) or (session.get(Loan, holder.loan_id) if holder else None)


def loan_page(session: Session, loan: Loan, today: date) -> LoanPage:
    parts = parts_of_loan(session, loan)
    rules = rules_in_force(session)
    before = session.get(Loan, loan.handed_over_from_id) if loan.handed_over_from_id else None
    return LoanPage(
        key=loan.id,
        loan=loan_lines(session, [loan], today)[0],
        parts=[_part_line(part, loan.out_on, rules["fault-days"]) for part in parts],
        left_behind=_left_behind(session, loan, {part.kit_part_id for part in parts}),
        handed_over_from=_name_of(session, before.member_id) if before else None,
        issued_by=_name_of(session, loan.issued_by_id),
        received_by=_name_of(session, loan.received_by_id),
        terms_agreed=loan.terms_agreed,
        trained=loan.trained,
        deposit=loan.deposit,
        deposit_returned=loan.deposit_returned,
        currency=rules.currency,
        note=loan.note,
    )


def parts_of_loan(session: Session, loan: Loan) -> Sequence[LoanPart]:
    """What went out, in the order in which it was written down."""
    return session.scalars(select(LoanPart).where(LoanPart.loan_id == loan.id).order_by(LoanPart.id)).all()


def loan_lines(session: Session, loans: Sequence[Loan], today: date) -> list[LoanLine]:
    rules = rules_in_force(session)
    grace, soon = int(rules["overdue-out"]), int(rules["due-soon-days"])
    renewals = dict(session.execute(select(Renewal.loan_id, func.count()).group_by(Renewal.loan_id)).all())
    waiting = _waiting(session)
    query = named(Loan).where(Loan.id.in_([loan.id for loan in loans])).order_by(Loan.due_on, Loan.id)
    lines = []
    for loan, member, what, kind in session.execute(query):
        left = (loan.due_on - today).days if loan.back_on is None else None
        lines.append(
            LoanLine(
                reference=reference_of(loan.id),
                what=what,
                kind=kind,
                member=member,
                out_on=loan.out_on,
                due_on=loan.due_on,
                back_on=loan.back_on,
                days_left=left,
                overdue=left is not None and left < -grace,
                due_soon=left is not None and 0 <= left <= soon,
                renewals=renewals.get(loan.id, 0),
                waiting=waiting.get(loan.kit_id or loan.equipment_id, 0) if left is not None else 0,
            )
        )
    return lines


def named(table: type[N]) -> Select[N, str, str, str]:
    """Loans or reservations, each with the member's name, and the name and kind of the kit or item."""
    kit, item = aliased(Kit), aliased(Equipment)
    return (
        select(table, Member.name, func.coalesce(kit.name, item.name), func.coalesce(item.kind, "kit"))
        .join(Member, table.member_id == Member.id)
        .outerjoin(kit, table.kit_id == kit.id)
        .outerjoin(item, table.equipment_id == item.id)
    )


def _waiting(session: Session) -> dict[UUID | None, int]:
    what = func.coalesce(Reservation.kit_id, Reservation.equipment_id)
    query = select(what, func.count()).where(still_waits()).group_by(what)
    return dict(session.execute(query).all())


def page_when_back(session: Session, loan: Loan, today: date) -> LoanPage:
    """The loan that ends now, with how many wait for what came back: the next of them is to be told."""
    page = loan_page(session, loan, today)
    waiting = _waiting(session).get(loan.kit_id or loan.equipment_id, 0)
    return replace(page, loan=replace(page.loan, waiting=waiting))


def _part_line(part: LoanPart, out_on: date, early_days: float) -> LoanPartLine:
    return LoanPartLine(
        part=part.label,
        condition_out=part.word_out or part.condition_out,
        note_out=part.note_out,
        condition_in=part.word_in or part.condition_in,
        note_in=part.note_in,
        differs=difference(part),
        fault=part.fault,
        fault_on=part.fault_on,
        came_with_it=(part.fault_on - out_on).days <= early_days if part.fault_on else None,
    )


def difference(part: LoanPart) -> str | None:
    """What is otherwise than when it went out; where nobody looked at it then, that is said too."""
    before, after = part.word_out or part.condition_out, part.word_in or part.condition_in
    if after is None or after == before:
        return None
    if part.condition_in is Condition.GOOD and before is None:
        return None
    return f"{before or 'nobody looked when it went out'} -> {after}"


def _left_behind(session: Session, loan: Loan, lent: set[UUID | None]) -> list[str]:
    """Parts that belonged to the kit on the day it went out, and did not go."""
    if loan.kit_id is None:
        return []
    query = (
        select(KitPart)
        .where(KitPart.kit_id == loan.kit_id, KitPart.joined_on <= loan.out_on)
        .order_by(KitPart.id)
    )
    return [
        part.label
        for part in session.scalars(query)
        if part.id not in lent and (part.left_on is None or part.left_on > loan.out_on)
    ]


def _name_of(session: Session, member_id: UUID | None) -> str | None:
    member = session.get(Member, member_id) if member_id else None
    return member.name if member else None
