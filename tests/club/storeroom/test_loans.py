"""Loans: out, back, renewed, handed over, waited for; the database forbids two places at a time."""

from datetime import date, datetime, timedelta

import pytest
from sqlalchemy import select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from obslog.club.register.rule_book import set_rule
from obslog.club.register.undo import undo
from obslog.club.storeroom.custody import IsOut, LostWhileOut
from obslog.club.storeroom.kits import InAnotherKit, add_kit, replace_part, show_kit
from obslog.club.storeroom.loan_pages import NoSuchLoan, list_loans, show_loan
from obslog.club.storeroom.loan_parts import NotToBeLent
from obslog.club.storeroom.loan_records import BadDate, NotOut, WithItsKit
from obslog.club.storeroom.loans import hand_over, lend, renew, take_back
from obslog.club.storeroom.missing import part_goes_missing
from obslog.club.storeroom.retirement import AlreadyRetired, retire
from obslog.club.storeroom.waiting_list import (
    HasIt,
    NotFirst,
    SomebodyWaits,
    WaitsAlready,
    reserve,
    waiting_list,
    withdraw,
)
from obslog.errors import OutOfRange, UnknownName
from obslog.records.database import Database
from obslog.records.tables.lending import Loan, LoanPart
from obslog.records.tables.logbook_tables import Equipment, Member
from obslog.vocabulary.storeroom import Condition

ADA, BRAM = "Ines", "Bram Ostler"
PARTS = ["Heron", "Long tube", "Wide 25", "dust cap"]


def test_a_loan_is_due_by_the_clubs_rule(kit: Database, now: datetime) -> None:
    page = lend(kit, "evening kit", "ines", now)
    assert (page.loan.what, page.loan.member) == ("Evening kit", ADA)
    assert (page.loan.due_on - page.loan.out_on).days == 28
    assert [part.part for part in page.parts] == PARTS


def test_the_months_rule_comes_before_the_clubs_and_the_kits_own_before_both(
    kit: Database, now: datetime
) -> None:
    set_rule(kit, "loan-days-03", 56, now)
    assert (lend(kit, "Stop 20", ADA, now).loan.due_on - now.date()).days == 56
    add_kit(kit, "Short kit", ["Bracken"], now, loan_days=10)
    assert (lend(kit, "Short kit", ADA, now).loan.due_on - now.date()).days == 10
    with pytest.raises(OutOfRange):
        set_rule(kit, "loan-days", 0, now)
    with pytest.raises(UnknownName, match="rule"):
        set_rule(kit, "loan-weeks", 4, now)


def test_a_part_is_asked_after_by_its_own_name(kit: Database, now: datetime) -> None:
    """On the telephone it is the tube that is asked for; it is out by the loan of its kit, and by no other."""
    lent = lend(kit, "Evening kit", ADA, now)
    assert show_loan(kit, "Long tube", now.date()) == lent
    take_back(kit, "Evening kit", now, all_good=True)
    with pytest.raises(NoSuchLoan, match="No loan of 'Long tube' is open"):
        show_loan(kit, "Long tube", now.date())


def test_what_is_out_cannot_be_lent_in_any_way(kit: Database, now: datetime) -> None:
    lend(kit, "Evening kit", ADA, now)
    for name in ("Evening kit", "Heron", "Wide 25"):
        with pytest.raises(IsOut, match="on loan, due back on") as refused:
            lend(kit, name, BRAM, now)
        assert 'back first: obslog loan back "Evening kit"; or wait' in refused.value.hint
    with pytest.raises(IsOut):
        retire(kit, "mount", "Heron", None, now.date(), now)


def test_the_database_itself_forbids_two_places(kit: Database, now: datetime) -> None:
    lend(kit, "Evening kit", ADA, now)
    with Session(kit.engine) as session:
        bram = session.scalars(select(Member).where(Member.name == BRAM)).one()
        wide = session.scalars(select(Equipment).where(Equipment.name == "Wide 25")).one()
        loan = Loan(member_id=bram.id, out_on=now.date(), due_on=now.date(), equipment_id=wide.id)
        session.add(loan)
        session.flush()
        session.add(LoanPart(loan_id=loan.id, label=wide.name, equipment_id=wide.id))
        with pytest.raises(IntegrityError, match="loan_parts"):
            session.flush()


def test_a_renewal_puts_the_date_off_by_the_term(kit: Database, now: datetime) -> None:
    first = lend(kit, "Evening kit", ADA, now).loan.due_on
    renewed = renew(kit, "Evening kit", now + timedelta(days=3)).loan
    assert ((renewed.due_on - first).days, renewed.renewals) == (28, 1)
    with pytest.raises(BadDate):
        renew(kit, "Evening kit", now, until=first)
    reserve(kit, "Evening kit", BRAM, now)
    with pytest.raises(SomebodyWaits):
        renew(kit, "Evening kit", now)


def test_a_hand_over_is_one_act_and_two_loans(kit: Database, now: datetime) -> None:
    lend(kit, "Evening kit", ADA, now, all_good=True)
    later = now + timedelta(days=5)
    page = hand_over(kit, "Evening kit", BRAM, later, conditions={"dust cap": (Condition.MISSING, None)})
    assert (page.loan.member, page.handed_over_from) == (BRAM, ADA)
    assert [part.part for part in page.parts] == ["Heron", "Long tube", "Wide 25"]
    loans = list_loans(kit, later.date(), with_back=True)
    assert [(loan.member, loan.back_on) for loan in loans] == [(ADA, later.date()), (BRAM, None)]
    assert undo(kit, later) == "hand Evening kit over to Bram Ostler"
    assert [loan.member for loan in list_loans(kit, later.date(), with_back=True)] == [ADA]
    assert len(show_loan(kit, "Evening kit", later.date()).parts) == 4


def test_the_waiting_list_is_in_the_order_of_asking(kit: Database, now: datetime) -> None:
    lend(kit, "Evening kit", ADA, now)
    with pytest.raises(HasIt):
        reserve(kit, "Evening kit", ADA, now)
    reserve(kit, "Evening kit", BRAM, now)
    with pytest.raises(WaitsAlready):
        reserve(kit, "Evening kit", BRAM, now)
    take_back(kit, "Evening kit", now)
    with pytest.raises(NotFirst, match="Somebody else is first"):
        lend(kit, "Evening kit", ADA, now)
    reserve(kit, "Evening kit", ADA, now)
    assert [line.member for line in waiting_list(kit)] == [BRAM, ADA]
    lend(kit, "Evening kit", BRAM, now)
    assert [(line.place, line.member) for line in waiting_list(kit, "Evening kit")] == [(1, ADA)]
    assert withdraw(kit, "Evening kit", ADA, now) == []


def test_those_who_wait_can_be_passed_over(kit: Database, now: datetime) -> None:
    reserve(kit, "Evening kit", BRAM, now)
    assert lend(kit, "Evening kit", ADA, now, pass_over=True).loan.member == ADA
    assert [line.member for line in waiting_list(kit)] == [BRAM]


def test_overdue_and_due_soon(kit: Database, now: datetime) -> None:
    lend(kit, "Evening kit", ADA, now, due=date(2026, 3, 10))
    lend(kit, "Stop 20", BRAM, now, due=date(2026, 3, 20))
    on_the_day, after = date(2026, 3, 10), date(2026, 3, 11)
    assert list_loans(kit, on_the_day, overdue=True) == []
    assert [line.due_soon for line in list_loans(kit, on_the_day)] == [True, False]
    assert [(line.what, line.days_left) for line in list_loans(kit, after, overdue=True)] == [
        ("Evening kit", -1)
    ]
    assert len(list_loans(kit, on_the_day, due_within_days=10)) == 2


def test_what_cannot_be_is_refused(kit: Database, now: datetime) -> None:
    with pytest.raises(NotOut):
        take_back(kit, "Evening kit", now)
    with pytest.raises(BadDate):
        lend(kit, "Evening kit", ADA, now, due=date(2026, 3, 1))
    with pytest.raises(UnknownName):
        lend(kit, "Morning kit", ADA, now)
    with pytest.raises(InAnotherKit, match="Evening kit"):
        add_kit(kit, "Second kit", ["Heron"], now)
    lend(kit, "Evening kit", ADA, now)
    with pytest.raises(WithItsKit, match="Evening kit"):
        take_back(kit, "Heron", now)
    with pytest.raises(BadDate):
        take_back(kit, "Evening kit", now, on=date(2026, 3, 1))


def test_a_retired_kit_is_not_lent(kit: Database, now: datetime) -> None:
    retire(kit, "kit", "Evening kit", "dispersed", now.date(), now)
    with pytest.raises(NotToBeLent, match="retired"):
        lend(kit, "Evening kit", ADA, now)
    with pytest.raises(AlreadyRetired):
        retire(kit, "kit", "Evening kit", None, now.date(), now)


def test_a_kit_of_which_a_part_is_refused_is_not_half_made(kit: Database, now: datetime) -> None:
    with pytest.raises(InAnotherKit):
        add_kit(kit, "Second kit", ["Bracken", "Heron"], now)
    with pytest.raises(UnknownName):
        show_kit(kit, "Second kit")
    add_kit(kit, "Second kit", ["Bracken"], now)
    with pytest.raises(InAnotherKit):
        replace_part(kit, "Evening kit", "Wide 25", "Bracken", now)
    assert "Wide 25" in [part.part for part in show_kit(kit, "Evening kit").parts]
    replace_part(kit, "Evening kit", "Wide 25", "Stop 20", now)
    assert undo(kit, now) == "replace Wide 25 of the kit Evening kit by Stop 20"
    assert "Wide 25" in [part.part for part in show_kit(kit, "Evening kit").parts]


def test_what_a_member_has_is_not_missing_from_the_store(kit: Database, now: datetime) -> None:
    lend(kit, "Evening kit", ADA, now)
    with pytest.raises(LostWhileOut, match="Wide 25 is on loan"):
        part_goes_missing(kit, "Evening kit", "Wide 25", now)
