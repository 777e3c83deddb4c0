"""Who is told of what, compared with a list made by hand."""

from datetime import date, datetime

import pytest

from obslog.club.register.contacts import set_contact
from obslog.club.register.named_records import add
from obslog.club.register.rule_book import set_rule
from obslog.club.reminding.reminders import RemindersDue, reminders_due, waiting_without_names
from obslog.club.reminding.stages import Stage
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.missing import go_missing
from obslog.club.storeroom.waiting_list import reserve
from obslog.errors import UnknownName
from obslog.records.database import Database


@pytest.fixture
def lending(club: Database, now: datetime) -> Database:
    """On 2 March: Ines has a kit three days over and an eyepiece due in a month, Bram one due in four days."""
    add_kit(club, "Evening kit", ["Heron", "Long tube", "dust cap"], now)
    add(club, "member", "Noor", {}, now)
    set_contact(club, "Ines", {"email": "ines@example.org"}, now)
    lend(club, "Evening kit", "Ines", now, on=date(2026, 2, 1), due=date(2026, 2, 27))
    lend(club, "Wide 25", "Ines", now, on=date(2026, 2, 20), due=date(2026, 4, 2))
    lend(club, "Stop 20", "Bram Ostler", now, on=date(2026, 2, 20), due=date(2026, 3, 6))
    return club


def summary(due: RemindersDue) -> list[tuple[str, str, list[tuple[str, int, int]]]]:
    return [
        (told.member, told.stage.value, [(loan.what, loan.days_left, loan.days_over) for loan in told.loans])
        for told in due.reminders
    ]


def test_one_reminder_a_borrower_with_all_their_items(lending: Database, now: datetime) -> None:
    due = reminders_due(lending, now)
    assert summary(due) == [
        ("Ines", "overdue", [("Evening kit", -3, 3)]),
        ("Bram Ostler", "due soon", [("Stop 20", 4, 0)]),
    ]
    ines, bram = due.reminders
    assert [loan.what for loan in ines.not_yet] == ["Wide 25"]
    assert ines.loans[0].parts == ["Heron", "Long tube", "dust cap"]
    assert (bram.loans[0].parts, ines.email, bram.email) == ([], "ines@example.org", None)
    assert (due.counts.overdue, due.counts.due_soon, due.counts.due) == (1, 1, 0)


def test_the_days_of_grace_make_it_due_and_not_overdue(lending: Database, now: datetime) -> None:
    set_rule(lending, "overdue-out", 3, now)
    assert reminders_due(lending, now).reminders[0].stage is Stage.DUE
    set_rule(lending, "overdue-out", 2, now)
    assert reminders_due(lending, now).reminders[0].stage is Stage.OVERDUE


def test_later_the_second_reminder_and_then_the_officer(lending: Database, now: datetime) -> None:
    """From 27 February 14 days end on 13 March and 28 days on 27 March, for February has 28 days that year."""
    stages = [
        reminders_due(lending, now.replace(day=day), "Ines").reminders[0].stage for day in (12, 13, 26, 27)
    ]
    assert stages == [Stage.OVERDUE, Stage.SECOND, Stage.SECOND, Stage.OFFICER]


def test_what_came_back_is_not_told_of(lending: Database, now: datetime) -> None:
    take_back(lending, "Evening kit", now)
    assert [told.member for told in reminders_due(lending, now).reminders] == ["Bram Ostler"]


def test_a_part_that_was_lost_is_not_asked_for(lending: Database, now: datetime) -> None:
    go_missing(lending, "Heron", now, lost_on_loan=True)
    assert reminders_due(lending, now).reminders[0].loans[0].parts == ["Long tube", "dust cap"]


def test_who_is_next_for_what_is_there_is_told_once_with_their_loans(
    lending: Database, now: datetime
) -> None:
    reserve(lending, "Bracken", "Ines", now)
    reserve(lending, "Thistle", "Noor", now)
    reserve(lending, "Stop 20", "Noor", now)
    due = reminders_due(lending, now)
    assert {told.member: [thing.what for thing in told.ready] for told in due.reminders} == {
        "Ines": ["Bracken"],
        "Bram Ostler": [],
        "Noor": ["Thistle"],
    }
    assert due.counts.ready == 2
    assert due.reminders[-1].stage is Stage.NOT_YET
    assert [line.member for line in waiting_without_names(due.waiting)] == [None, None, None]


def test_one_member_alone(lending: Database, now: datetime) -> None:
    reserve(lending, "Thistle", "Noor", now)
    due = reminders_due(lending, now, "bram ostler")
    assert ([told.member for told in due.reminders], due.waiting) == (["Bram Ostler"], [])
    with pytest.raises(UnknownName):
        reminders_due(lending, now, "Ottoline")


def test_nobody_has_anything(club: Database, now: datetime) -> None:
    due = reminders_due(club, now)
    assert (due.reminders, due.waiting, due.on) == ([], [], date(2026, 3, 2))
