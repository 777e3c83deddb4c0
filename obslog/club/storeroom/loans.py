"""Loans: out, back, renewed, handed over from member to member; part by part, in what condition.

Each is one transaction. That nothing is lent twice is kept by the database's own indexes; what is asked first here
only makes the sentence.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from obslog.club.register.rule_book import rules_in_force
from obslog.club.register.things import Lendable, kind_word, lendable
from obslog.club.storeroom.custody import IsOut, holders, note_absence, open_loan, paper_of
from obslog.club.storeroom.kits import note_missing, parts_of
from obslog.club.storeroom.loan_pages import LoanPage, loan_page
from obslog.club.storeroom.part_conditions import Conditions, _by_label
from obslog.club.storeroom.waiting_list import NotFirst, first_waiting, serve
from obslog.errors import ObslogError, OutOfRange, WrongInput, quoted
from obslog.records.name_lookup import by_name, key_of
from obslog.records.opening import Database
from obslog.records.tables.lending import Kit, KitPart, Loan, LoanPart, Renewal
from obslog.records.tables.logbook_tables import Equipment, Member
from obslog.times import not_a_future_date
from obslog.vocabulary import Condition

LARGEST_DEPOSIT = 1_000_000


class NotOut(ObslogError):
    def __init__(self, name: str) -> None:
        super().__init__(f"{name} is not out on loan.", "See what is: obslog loan list")


class NotToBeLent(ObslogError):
    def __init__(self, name: str, why: str) -> None:
        super().__init__(f"{name} cannot be lent: {why}.", "See what can: obslog store list")


class BadDate(WrongInput):
    def __init__(self, what: str, day: date, other: date) -> None:
        super().__init__(f"{what} {day} is before {other}.", "Give a later day; see obslog loan show.")


@dataclass(frozen=True, slots=True)
class Papers:
    """What was settled when a loan went out; None where nobody said."""

    terms_agreed: bool | None = None
    trained: bool | None = None
    deposit: float | None = None
    note: str | None = None


def lend(
    database: Database,
    name: str,
    member: str,
    now: datetime,
    *,
    kind: str | None = None,
    on: date | None = None,
    due: date | None = None,
    conditions: Conditions | None = None,
    all_good: bool = False,
    papers: Papers | None = None,
    by: str | None = None,
    pass_over: bool = False,
) -> LoanPage:
    """Lend a kit, or one thing, to a member.

    Parts that are missing, retired or lent apart stay behind. `conditions` are of named parts; `all_good` says that the
    others were looked at and are good. Where others wait, only the first of them, unless `pass_over`.
    Raises UnknownName, WhichKind, IsOut, NotToBeLent, NotFirst, FutureDate, BadDate, OutOfRange.
    """
    day = on or now.date()
    not_a_future_date(day, now)
    with database.write(now, f"lend {name} to {member}") as session:
        what, borrower = lendable(session, name, kind), by_name(session, Member, member)
        _refuse_what_is_not_there(session, what, borrower)
        waiting = first_waiting(session, what)
        if waiting is not None and waiting.id != borrower.id and not pass_over:
            raise NotFirst(what.name, waiting.name)
        loan = _open(session, what, borrower, day, due or _due(session, what, day), papers or Papers())
        loan.issued_by_id = key_of(session, Member, by)
        _add_parts(session, loan, _parts_to_lend(session, what), conditions or {}, all_good)
        serve(session, what, borrower, day)
        return loan_page(session, loan, now.date())


def take_back(
    database: Database,
    name: str,
    now: datetime,
    *,
    kind: str | None = None,
    on: date | None = None,
    conditions: Conditions | None = None,
    all_good: bool = False,
    by: str | None = None,
    deposit_returned: bool | None = None,
) -> LoanPage:
    """Take a loan back. A part whose condition is `missing` is missing from then on, until it is found.

    Raises UnknownName, WhichKind, NotOut, FutureDate, BadDate.
    """
    day = on or now.date()
    not_a_future_date(day, now)
    with database.write(now, f"take {name} back") as session:
        loan = _must_be_out(session, lendable(session, name, kind))
        _close(session, loan, day, conditions or {}, all_good)
        loan.received_by_id, loan.deposit_returned = key_of(session, Member, by), deposit_returned
        session.flush()
        return loan_page(session, loan, now.date())


def renew(
    database: Database, name: str, now: datetime, *, kind: str | None = None, until: date | None = None
) -> LoanPage:
    """Put a loan's due date off by its term, or until a day; not where somebody waits.

    Raises UnknownName, WhichKind, NotOut, NotFirst, BadDate.
    """
    with database.write(now, f"renew the loan of {name}") as session:
        what = lendable(session, name, kind)
        loan = _must_be_out(session, what)
        waiting = first_waiting(session, what)
        if waiting is not None:
            raise NotFirst(what.name, waiting.name)
        due = until or _due(session, what, max(loan.due_on, now.date()))
        if due <= loan.due_on:
            raise BadDate("The new due date", due, loan.due_on + timedelta(days=1))
        session.add(Renewal(loan_id=loan.id, renewed_on=now.date(), due_before=loan.due_on, due_after=due))
        loan.due_on = due
        session.flush()
        return loan_page(session, loan, now.date())


def hand_over(
    database: Database,
    name: str,
    to: str,
    now: datetime,
    *,
    kind: str | None = None,
    on: date | None = None,
    due: date | None = None,
    conditions: Conditions | None = None,
    all_good: bool = False,
    papers: Papers | None = None,
    pass_over: bool = False,
) -> LoanPage:
    """Pass a loan from its borrower to another member: one act, two loans, and the thing never in the store between.

    What goes on is what came from the first, less what is missing. Raises as lend and take_back.
    """
    day = on or now.date()
    not_a_future_date(day, now)
    with database.write(now, f"hand {name} over to {to}") as session:
        what, borrower = lendable(session, name, kind), by_name(session, Member, to)
        loan = _must_be_out(session, what)
        if loan.member_id == borrower.id:
            raise IsOut(what.name, borrower.name, loan.due_on)
        waiting = first_waiting(session, what)
        if waiting is not None and waiting.id != borrower.id and not pass_over:
            raise NotFirst(what.name, waiting.name)
        _refuse_retired(borrower.name, borrower.retired_on)
        parts = _close(session, loan, day, conditions or {}, all_good)
        session.flush()  # closed before the next is opened: the database allows one open loan at a time
        next_loan = _open(session, what, borrower, day, due or _due(session, what, day), papers or Papers())
        next_loan.handed_over_from_id = loan.id
        there = [part for part in parts if part.condition_in != Condition.MISSING]
        if not there:
            raise NotToBeLent(what.name, "nothing of it is left; take it back instead")
        going_on = [(part.label, part.equipment_id, part.kit_part_id) for part in there]
        seen = {part.label: (part.condition_in, part.note_in) for part in there if part.condition_in}
        _add_parts(session, next_loan, going_on, seen, all_good)
        serve(session, what, borrower, day)
        return loan_page(session, next_loan, now.date())


def _refuse_what_is_not_there(session: Session, what: Lendable, borrower: Member) -> None:
    _refuse_retired(what.name, what.retired_on)
    _refuse_retired(borrower.name, borrower.retired_on)
    holder = holders(session).get(what.id)
    if holder is not None:
        raise IsOut(what.name, holder.member, holder.due_on)
    paper = None if isinstance(what, Kit) else paper_of(session, what.id)
    if paper is not None and paper.missing_since is not None:
        raise NotToBeLent(what.name, f"it is missing since {paper.missing_since}")


def _refuse_retired(name: str, on: date | None) -> None:
    if on is not None:
        raise NotToBeLent(name, f"retired on {on}")


def _due(session: Session, what: Lendable, start: date) -> date:
    """By the kit's own term, else the club's for the month."""
    own = what.loan_days if isinstance(what, Kit) else None
    return start + timedelta(days=own or rules_in_force(session).loan_days(start.month))


def _open(session: Session, what: Lendable, borrower: Member, day: date, due: date, papers: Papers) -> Loan:
    if due < day:
        raise BadDate("The due date", due, day)
    if papers.deposit is not None and not 0 <= papers.deposit <= LARGEST_DEPOSIT:
        raise OutOfRange("The deposit", papers.deposit, 0, LARGEST_DEPOSIT)
    is_kit = isinstance(what, Kit)
    loan = Loan(
        member_id=borrower.id,
        out_on=day,
        due_on=due,
        kit_id=what.id if is_kit else None,
        equipment_id=None if is_kit else what.id,
        terms_agreed=papers.terms_agreed,
        trained=papers.trained,
        deposit=papers.deposit,
        note=papers.note,
    )
    session.add(loan)
    _flush_or_say_it_is_out(session, what.name)
    return loan


def _flush_or_say_it_is_out(session: Session, name: str) -> None:
    """On a server two programs may ask at the same moment; the index lets one of them through."""
    try:
        session.flush()
    except IntegrityError as error:
        raise IsOut(name, "somebody since a moment ago", None) from error


Part = tuple[str, UUID | None, UUID | None]


def _parts_to_lend(session: Session, what: Lendable) -> list[Part]:
    """Labels, and the keys of the thing and of the kit's part; without what is missing, retired or lent apart."""
    if not isinstance(what, Kit):
        return [(what.name, what.id, None)]
    out = holders(session)
    found: list[Part] = []
    for part in parts_of(session, what):
        thing = session.get(Equipment, part.equipment_id) if part.equipment_id else None
        if part.missing_since is not None or (thing is not None and _stays_behind(session, thing, out)):
            continue
        found.append((part.label, part.equipment_id, part.id))
    if not found:
        raise NotToBeLent(what.name, "none of its parts is there")
    return found


def _stays_behind(session: Session, thing: Equipment, out: Mapping[UUID, object]) -> bool:
    paper = paper_of(session, thing.id)
    return thing.retired_on is not None or thing.id in out or bool(paper and paper.missing_since)


def _add_parts(
    session: Session, loan: Loan, parts: list[Part], conditions: Conditions, all_good: bool
) -> None:
    told = _by_label(conditions, [label for label, _, _ in parts])
    for label, equipment_id, kit_part_id in parts:
        condition, note = told.get(label, (Condition.GOOD if all_good else None, None))
        if condition == Condition.MISSING:
            continue  # it did not go out
        session.add(
            LoanPart(
                loan_id=loan.id,
                label=label,
                equipment_id=equipment_id,
                kit_part_id=kit_part_id,
                condition_out=condition,
                note_out=note,
            )
        )
    _flush_or_say_it_is_out(session, "A part of it")


def _close(session: Session, loan: Loan, day: date, conditions: Conditions, all_good: bool) -> list[LoanPart]:
    if day < loan.out_on:
        raise BadDate("The day", day, loan.out_on)
    parts = list(session.scalars(select(LoanPart).where(LoanPart.loan_id == loan.id).order_by(LoanPart.id)))
    told = _by_label(conditions, [part.label for part in parts])
    loan.back_on = day
    for part in parts:
        if part.back_on is not None:  # lost on loan, and said so then
            continue
        part.back_on = day
        unseen = Condition.GOOD if all_good else None
        part.condition_in, part.note_in = told.get(part.label, (unseen, None))
        if part.condition_in == Condition.MISSING:
            _lose(session, part, day)
    return parts


def lose_on_loan(session: Session, thing: Equipment, day: date) -> None:
    """A thing is lost while it is out: missing from that day. The loan of the rest goes on; with nothing left it ends.

    Raises NotOut, BadDate.
    """
    part = session.scalar(
        select(LoanPart).where(LoanPart.equipment_id == thing.id, LoanPart.back_on.is_(None))
    )
    loan = session.get(Loan, part.loan_id) if part else None
    if part is None or loan is None:
        raise NotOut(thing.name)
    if day < loan.out_on:
        raise BadDate("The day", day, loan.out_on)
    part.back_on, part.condition_in = day, Condition.MISSING
    _lose(session, part, day)
    session.flush()
    rest = select(LoanPart.id).where(LoanPart.loan_id == loan.id, LoanPart.back_on.is_(None)).limit(1)
    if session.scalar(rest) is None:
        loan.back_on = day


def _lose(session: Session, part: LoanPart, day: date) -> None:
    if part.kit_part_id is not None and (of_kit := session.get(KitPart, part.kit_part_id)) is not None:
        note_missing(session, of_kit, day, missing=True)
    elif part.equipment_id is not None:
        note_absence(session, part.equipment_id, day, missing=True)


def _must_be_out(session: Session, what: Lendable) -> Loan:
    loan = open_loan(session, what)
    if loan is None:
        holder = holders(session).get(what.id)
        if holder is not None and kind_word(what) != "kit":
            kit = session.scalar(
                select(Kit.name).join(Loan, Loan.kit_id == Kit.id).where(Loan.id == holder.loan_id)
            )
            raise NotToBeLent(what.name, f"it went out with the kit {quoted(kit or '')}; name the kit")
        raise NotOut(what.name)
    return loan
