"""The form of a loan: what is on record filled in, names only for the officer, the words of the plain form."""

from datetime import datetime

import pytest

from obslog.club.forms.blocks import Box, Boxes, Caution, ColumnKind, Form, Table, Ticks
from obslog.club.forms.loan_sheet import loan_sheet
from obslog.club.forms.loan_words import EVERY_TIME, GO_TO_MOUNTS, THE_SUN
from obslog.club.register.contacts import Reach, set_contact
from obslog.club.routine.loan_terms import SHIPPED_STATEMENTS
from obslog.club.routine.part_conditions import read_conditions
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loan_pages import show_loan
from obslog.club.storeroom.loan_records import Papers
from obslog.club.storeroom.loans import lend
from obslog.club.storeroom.missing import go_missing
from obslog.records.database import Database
from obslog.report.forms.loan_text import loan_form

PARTS = ["Heron", "Long tube", "Wide 25", "dust cap"]


@pytest.fixture
def lent(club: Database, now: datetime) -> Database:
    """Ines has the evening kit, but for an eyepiece that is missing; the tube went out worn."""
    add_kit(club, "Evening kit", PARTS, now)
    set_contact(club, "Ines", {"phone": "01234 567", "address": "1 Mill Lane\nHeronby"}, now)
    go_missing(club, "Wide 25", now)
    lend(club, "Evening kit", "Ines", now, conditions=read_conditions(["Long tube=worn: a scratch"]))
    return club


def boxes(form: Form) -> dict[str, Box]:
    return {box.label: box for block in form.blocks if isinstance(block, Boxes) for box in block.boxes}


def test_what_is_on_record_is_filled_in_for_the_officer(lent: Database, now: datetime) -> None:
    found = boxes(loan_sheet(lent, "evening", now.date(), with_names=True))
    assert found["Borrower"].filled == "Ines"
    assert found["Address"].filled == "1 Mill Lane Heronby"
    assert found["Phone and e-mail"].filled == "01234 567"
    assert found["Out on"].filled == "2026-03-02"
    assert found["Due back on"].filled == "2026-03-30"  # four weeks, the rule of a new club
    assert found["Deposit"].filled is None
    assert found["Borrower's signature"].filled is None


def test_without_officer_nobody_is_named(lent: Database, now: datetime) -> None:
    form = loan_sheet(lent, "Evening kit", now.date())
    assert "Ines" not in str(form)
    assert "Mill Lane" not in str(form)
    assert boxes(form)["Borrower"].filled is None


@pytest.mark.parametrize(("length", "in_a_box"), [(60, True), (2000, False)])
def test_a_long_note_is_told_whole(club: Database, now: datetime, length: int, in_a_box: bool) -> None:
    note = "n" * length
    lend(club, "Stop 20", "Ines", now, papers=Papers(note=note))
    form = loan_sheet(club, "Stop 20", now.date())
    assert ("Note" in boxes(form)) == in_a_box
    assert note in str(form)


def test_each_part_is_ticked_and_its_condition_ringed_out_and_in(lent: Database, now: datetime) -> None:
    form = loan_sheet(lent, "Evening kit", now.date())
    (table,) = [block for block in form.blocks if isinstance(block, Table)]
    assert table.rows == (
        ("", "", "Heron", "", ""),
        ("", "", "Long tube", "worn: a scratch", ""),
        ("", "", "dust cap", "", ""),
    )
    assert [column.kind for column in table.columns] == [ColumnKind.TICK] * 2 + [ColumnKind.TEXT] + [
        ColumnKind.RING
    ] * 2
    assert table.columns[-1].words == ("good", "worn", "damaged", "missing")
    assert "Wide 25: stayed behind" in str(form)


def test_what_both_look_at_is_ticked_out_and_in(lent: Database, now: datetime) -> None:
    ticks = [
        block for block in loan_sheet(lent, "Evening kit", now.date()).blocks if isinstance(block, Ticks)
    ]
    assert [block.heads for block in ticks] == [("out", "in")] * 2
    assert tuple(task.title for block in ticks for task in block.tasks) == (*EVERY_TIME, *GO_TO_MOUNTS)


def test_the_sun_is_in_a_frame(lent: Database, now: datetime) -> None:
    (caution,) = [
        block for block in loan_sheet(lent, "Evening kit", now.date()).blocks if isinstance(block, Caution)
    ]
    assert caution.sentences[1:] == THE_SUN


def test_the_plain_form_asks_for_the_same_in_the_same_order(lent: Database, now: datetime) -> None:
    text = loan_form(show_loan(lent, "Evening kit", now.date()), Reach(), SHIPPED_STATEMENTS)
    asked = [
        line.split(":")[0] for line in text.splitlines() if ":" in line[:22] and not line.startswith("[")
    ]
    on_sheet = [
        box.label
        for block in loan_sheet(lent, "Evening kit", now.date()).blocks
        if isinstance(block, Boxes)
        for box in block.boxes
    ]
    assert [label for label in asked if label in on_sheet] == on_sheet
