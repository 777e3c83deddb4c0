"""Loans: out, back, extended, handed over from member to member. Each is one transaction."""

from dataclasses import replace
from datetime import date, datetime
from typing import Any, TypedDict, Unpack

from obslog.club.register.club_day import day_in, day_meant
from obslog.club.register.things import lendable
from obslog.club.routine.part_conditions import Conditions
from obslog.club.storeroom.custody import open_loan
from obslog.club.storeroom.loan_pages import LoanPage, loan_page, page_when_back
from obslog.club.storeroom.loan_records import (
    Going,
    Papers,
    begin_loan,
    end_loan,
    extend_loan,
    loan_that_is_out,
    pass_loan_on,
)
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.merging.obstacles import any_obstacle
from obslog.records.name_lookup import key_of_member, member_here


class How(TypedDict, total=False):
    """How a loan goes out, from the store or from its borrower: the words of `Going`, any of which may be left out.

    `on` is the day, today where it is not given.
    """

    on: date | None
    due: date | None
    conditions: Conditions
    all_good: bool
    papers: Papers
    pass_over: bool


def lend(
    database: Database,
    name: str,
    member: str,
    now: datetime,
    *,
    kind: str | None = None,
    by: str | None = None,
    **how: Unpack[How],
) -> LoanPage:
    """Lend a kit, or one item, to a member.

    Parts that are missing, retired or lent apart stay behind.
    Raises UnknownName, WhichKind, IsOut, NotToBeLent, NoBorrower, NotFirst, FutureDate, BadDate, InTwoPlaces,
    OutOfRange.
    """
    going = _going(database, now, **how)
    with database.write(now, f"lend {name} to {member}") as session:
        what, borrower = lendable(session, name, kind), member_here(session, member)
        call_act(session, f"lend {what.name} to {borrower.name}")
        loan = begin_loan(session, what, borrower, going)
        loan.issued_by_id = key_of_member(session, by)
        return loan_page(session, loan, day_in(session, now))


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

    Raises UnknownName, WhichKind, NotOut, FutureDate, BadDate, InTwoPlaces.
    """
    day = day_meant(database, on, now)
    with database.write(now, f"take {name} back") as session:
        what = lendable(session, name, kind)
        call_act(session, f"take {what.name} back")
        loan = loan_that_is_out(session, what)
        end_loan(session, loan, day, conditions or {}, all_good=all_good)
        loan.received_by_id, loan.deposit_returned = key_of_member(session, by), deposit_returned
        session.flush()
        page, called = page_when_back(session, loan, day_in(session, now)), what.name
        may_have_waited = any_obstacle(session)
    if not may_have_waited:
        return page
    with database.read() as session:  # as the end of the act has settled it
        return replace(page, out_again=open_loan(session, lendable(session, called, kind)) is not None)


def renew(
    database: Database,
    name: str,
    now: datetime,
    *,
    kind: str | None = None,
    until: date | None = None,
    beyond_terms: bool = False,
) -> LoanPage:
    """Extend a loan by its term, or until a day; not where somebody waits, nor more often than the club's terms say.

    Raises UnknownName, WhichKind, NotOut, SomebodyWaits, BadDate, RenewedOften unless `beyond_terms`.
    """
    with database.write(now, f"renew the loan of {name}") as session:
        what = lendable(session, name, kind)
        call_act(session, f"renew the loan of {what.name}")
        loan = extend_loan(session, what, day_in(session, now), until, beyond_terms=beyond_terms)
        return loan_page(session, loan, day_in(session, now))


def hand_over(
    database: Database, name: str, to: str, now: datetime, *, kind: str | None = None, **how: Unpack[How]
) -> LoanPage:
    """Pass a loan from its borrower to another member: one act, two loans, and it is never in the store between.

    What goes on is what came from the first, less what is missing. Raises as lend and take_back.
    """
    going = _going(database, now, **how)
    with database.write(now, f"hand {name} over to {to}") as session:
        what, borrower = lendable(session, name, kind), member_here(session, to)
        call_act(session, f"hand {what.name} over to {borrower.name}")
        return loan_page(session, pass_loan_on(session, what, borrower, going), day_in(session, now))


def _going(database: Database, now: datetime, *, on: date | None = None, **how: Any) -> Going:
    return Going(day=day_meant(database, on, now), **how)
