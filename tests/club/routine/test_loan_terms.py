"""Loan terms: what a borrower agrees to, and how often a loan may be extended."""

from datetime import datetime

import pytest

from obslog.club.forms.loan_sheet import loan_sheet
from obslog.club.forms.loan_words import SAFETY
from obslog.club.routine.loan_terms import SHIPPED_STATEMENTS, Terms, read_terms
from obslog.club.storeroom.loan_records import RenewedOften
from obslog.club.storeroom.loans import lend, renew
from obslog.records.database import Database
from obslog.records.tables.officer import LoanTerms


def agree_on(club: Database, now: datetime, text: str | None, renewals: int | None) -> None:
    with club.write(now, "terms") as session:
        session.add(LoanTerms(text=text, renewals=renewals))


def test_without_a_file_the_terms_are_those_that_ship(club: Database) -> None:
    assert read_terms(club) == Terms(SHIPPED_STATEMENTS, None)
    assert not read_terms(club).own


def test_the_form_says_the_clubs_terms_and_keeps_what_concerns_safety(club: Database, now: datetime) -> None:
    agree_on(club, now, "I bring cake.\nI come on Thursdays.", None)
    lend(club, "Heron", "Ines", now)
    form = str(loan_sheet(club, "Heron", now.date()))
    assert "I bring cake." in form
    assert "I come on Thursdays." in form
    assert SHIPPED_STATEMENTS[0] not in form
    assert SAFETY[0] in form


def test_a_loan_is_extended_as_often_as_the_terms_say(club: Database, now: datetime) -> None:
    agree_on(club, now, None, 1)
    assert read_terms(club) == Terms(SHIPPED_STATEMENTS, 1)
    lend(club, "Heron", "Ines", now)
    assert renew(club, "Heron", now).loan.renewals == 1
    with pytest.raises(RenewedOften) as refused:
        renew(club, "Heron", now)
    assert refused.value.message == "By the club's terms the loan of Heron is not extended more than 1 time."
    assert renew(club, "Heron", now, beyond_terms=True).loan.renewals == 2


def test_no_loan_is_extended_where_the_terms_say_never(club: Database, now: datetime) -> None:
    agree_on(club, now, None, 0)
    lend(club, "Heron", "Ines", now)
    with pytest.raises(RenewedOften, match="not extended at all"):
        renew(club, "Heron", now)
