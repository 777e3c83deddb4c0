"""Loans within a transaction that is under way: begun, ended, extended, passed on.

That nothing is lent twice is kept by the database's own indexes; what is asked first here only makes the sentence.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.register.rule_book import rules_in_force
from obslog.club.register.things import Lendable, kind_word
from obslog.club.routine.condition_words import words_in_force
from obslog.club.routine.loan_terms import terms_in_force
from obslog.club.routine.part_conditions import Conditions
from obslog.club.storeroom.custody import Custody, holders, is_out, open_loan, state_of
from obslog.club.storeroom.loan_pages import parts_of_loan
from obslog.club.storeroom.loan_parts import (
    NotToBeLent,
    Part,
    add_parts,
    end_parts,
    flush_or_say_it_is_out,
    lose_part,
    parts_to_lend,
    refuse_if_out_since,
    refuse_if_out_then,
)
from obslog.club.storeroom.waiting_list import (
    HasIt,
    NotFirst,
    SomebodyWaits,
    first_waiting,
    refuse_retired_borrower,
    serve,
)
from obslog.english import counted
from obslog.errors import ObslogError, WrongInput, quoted
from obslog.records.tables.lending import Kit, Loan, LoanPart, Renewal
from obslog.records.tables.logbook_tables import Equipment, Member
from obslog.vocabulary.storeroom import Condition


class NotOut(ObslogError):
    def __init__(self, name: str) -> None:
        super().__init__(f"{name} is not out on loan.", "See what is: obslog loan list")


class WithItsKit(ObslogError):
    def __init__(self, name: str, kit: str) -> None:
        super().__init__(f"{name} went out with the kit {kit}.", f"Name the kit: {quoted(kit)}")


class RenewedOften(ObslogError):
    def __init__(self, name: str, most: int) -> None:
        often = f"more than {counted(most, 'time')}" if most else "at all"
        super().__init__(
            f"By the club's terms the loan of {name} is not extended {often}.",
            "See the terms: obslog rule routine. To extend it all the same: --beyond-terms",
        )


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Going:
    """How something goes out: from which day, until when (by its term where None), and in what condition.

    `conditions` are of named parts; `all_good` says that the others were looked at and are good. Where others wait,
    only the first of them gets it, unless `pass_over`.
    """

    day: date
    due: date | None = None
    conditions: Conditions = field(default_factory=dict)
    all_good: bool = False
    papers: Papers = Papers()
    pass_over: bool = False


def begin_loan(session: Session, what: Lendable, borrower: Member, going: Going) -> Loan:
    """Lend it out of the store. Raises as lend."""
    state = state_of(session)
    _refuse_what_is_not_there(session, what, borrower, state[what.id], going.day)
    parts = parts_to_lend(session, what, state, going.day)
    return _open(session, what, borrower, going, parts, going.conditions)


def end_loan(
    session: Session, loan: Loan, day: date, conditions: Conditions, *, all_good: bool
) -> Sequence[LoanPart]:
    """Close the loan with the condition of each part; gives those that were out.

    Raises BadDate, InTwoPlaces, UnknownName.
    """
    if day < loan.out_on:
        raise BadDate("The day", day, loan.out_on)
    parts = parts_of_loan(session, loan)
    for part in parts:
        if part.back_on is None:
            refuse_if_out_since(session, part, loan.out_on, day)
    end_parts(session, parts, day, conditions, all_good=all_good)
    loan.back_on = day
    session.flush()  # closed before another is opened: the database allows one open loan at a time
    return parts


def extend_loan(
    session: Session, what: Lendable, today: date, until: date | None, *, beyond_terms: bool = False
) -> Loan:
    """By another term, or until the day. Raises NotOut, SomebodyWaits, BadDate, RenewedOften unless `beyond_terms`."""
    loan, most = loan_that_is_out(session, what), terms_in_force(session).renewals
    if most is not None and not beyond_terms and _renewals(session, loan) >= most:
        raise RenewedOften(what.name, most)
    if first_waiting(session, what) is not None:
        raise SomebodyWaits(what.name)
    due = until or _due(session, what, max(loan.due_on, today))
    if due <= loan.due_on:
        raise BadDate("The new due date", due, loan.due_on + timedelta(days=1))
    session.add(Renewal(loan_id=loan.id, renewed_on=today, due_before=loan.due_on, due_after=due))
    loan.due_on = due
    session.flush()
    return loan


def _renewals(session: Session, loan: Loan) -> int:
    return session.scalar(select(func.count()).where(Renewal.loan_id == loan.id)) or 0


def pass_loan_on(session: Session, what: Lendable, to: Member, going: Going) -> Loan:
    """End its loan and begin the next with what is still there. Raises as hand_over."""
    loan = loan_that_is_out(session, what)
    if loan.member_id == to.id:
        raise HasIt(what.name, to.name)
    refuse_retired_borrower(to)
    parts = end_loan(session, loan, going.day, going.conditions, all_good=going.all_good)
    there = [part for part in parts if part.condition_in != Condition.MISSING]
    if not there:
        raise NotToBeLent(what.name, "nothing of it is left; take it back instead")
    going_on = [(part.label, part.equipment_id, part.kit_part_id) for part in there]
    refuse_if_out_then(session, going_on, going.day)
    seen = {
        part.label: (part.word_in or part.condition_in, part.note_in) for part in there if part.condition_in
    }
    next_loan = _open(session, what, to, going, going_on, seen)
    next_loan.handed_over_from_id = loan.id
    session.flush()
    return next_loan


def _open(
    session: Session, what: Lendable, borrower: Member, going: Going, parts: list[Part], seen: Conditions
) -> Loan:
    """Write a new loan down with its parts, and close the borrower's place in the waiting list."""
    waiting = first_waiting(session, what)
    if waiting is not None and waiting.id != borrower.id and not going.pass_over:
        raise NotFirst(what.name)
    due = going.due or _due(session, what, going.day)
    if due < going.day:
        raise BadDate("The due date", due, going.day)
    papers, is_kit = going.papers, isinstance(what, Kit)
    fields.DEPOSIT.check(papers.deposit)
    loan = Loan(
        member_id=borrower.id,
        out_on=going.day,
        due_on=due,
        kit_id=what.id if is_kit else None,
        equipment_id=None if is_kit else what.id,
        terms_agreed=papers.terms_agreed,
        trained=papers.trained,
        deposit=papers.deposit,
        note=papers.note,
    )
    session.add(loan)
    flush_or_say_it_is_out(session, what.name)
    add_parts(session, loan, parts, seen, going.all_good)
    serve(session, what, borrower, going.day)
    return loan


def _refuse_what_is_not_there(
    session: Session, what: Lendable, borrower: Member, now: Custody, day: date
) -> None:
    if now.retired_on is not None:
        raise NotToBeLent(what.name, f"retired on {now.retired_on}")
    if now.written_off_on is not None:
        raise NotToBeLent(what.name, f"written off on {now.written_off_on}")
    refuse_retired_borrower(borrower)
    if now.holder is not None:
        raise is_out(session, what, now.holder, day)
    if now.missing_since is not None:
        raise NotToBeLent(what.name, f"it has been missing since {now.missing_since}")


def _due(session: Session, what: Lendable, start: date) -> date:
    """By the kit's own term, else the club's for the month."""
    own = what.loan_days if isinstance(what, Kit) else None
    return start + timedelta(days=own or rules_in_force(session).loan_days(start.month))


def lose_on_loan(session: Session, item: Equipment, day: date) -> None:
    """An item is lost while it is out: missing from that day. The loan of the rest goes on; with nothing left it ends.

    Raises NotOut, BadDate, InTwoPlaces.
    """
    part = session.scalar(
        select(LoanPart).where(LoanPart.equipment_id == item.id, LoanPart.back_on.is_(None))
    )
    loan = session.get(Loan, part.loan_id) if part else None
    if part is None or loan is None:
        raise NotOut(item.name)
    if day < loan.out_on:
        raise BadDate("The day", day, loan.out_on)
    refuse_if_out_since(session, part, loan.out_on, day)
    lost = words_in_force(session).for_(Condition.MISSING)
    part.back_on, part.condition_in, part.word_in = day, lost.means, lost.word
    lose_part(session, part, day)
    session.flush()
    rest = select(LoanPart.id).where(LoanPart.loan_id == loan.id, LoanPart.back_on.is_(None)).limit(1)
    if session.scalar(rest) is None:
        loan.back_on = day


def loan_that_is_out(session: Session, what: Lendable) -> Loan:
    loan = open_loan(session, what)
    if loan is None:
        holder = holders(session).get(what.id)
        if holder is not None and kind_word(what) != "kit":
            kit = session.scalar(
                select(Kit.name).join(Loan, Loan.kit_id == Kit.id).where(Loan.id == holder.loan_id)
            )
            raise WithItsKit(what.name, kit or "")
        raise NotOut(what.name)
    return loan
