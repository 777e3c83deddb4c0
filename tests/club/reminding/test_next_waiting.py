"""Who is next for each thing that is waited for, and whether it is there."""

from datetime import date, datetime, timedelta

import pytest

from obslog.club.register.named_records import add
from obslog.club.reminding.next_waiting import NextWaiting, next_for_each
from obslog.club.reminding.reminders import reminders_due
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loan_parts import NotToBeLent
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.missing import go_missing, part_goes_missing
from obslog.club.storeroom.waiting_list import reserve
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.vocabulary.storeroom import Condition

TODAY = date(2026, 3, 2)


def told(database: Database) -> list[NextWaiting]:
    with database.read() as session:
        return [line for _, line in next_for_each(session, TODAY)]


def test_the_first_who_asked_is_next_and_can_come_once_it_is_back(club: Database, now: datetime) -> None:
    add(club, "member", "Noor", {}, now)
    lend(club, "Bracken", "Ines", now)
    reserve(club, "Bracken", "Noor", now + timedelta(hours=1))
    reserve(club, "Bracken", "Bram Ostler", now)
    (line,) = told(club)
    assert (line.what, line.member, line.waiting) == ("Bracken", "Bram Ostler", 2)
    assert (line.there, line.due_on) == (False, date(2026, 3, 30))  # 2 March and 28 days
    take_back(club, "Bracken", now)
    (line,) = told(club)
    assert (line.there, line.due_on, line.asked_on) == (True, None, date(2026, 3, 2))


def test_what_is_missing_is_not_there_though_nobody_has_it(club: Database, now: datetime) -> None:
    reserve(club, "Wide 25", "Ines", now)
    go_missing(club, "Wide 25", now)
    (line,) = told(club)
    assert (line.there, line.due_on) == (False, None)


def test_a_kit_of_which_nothing_is_in_the_store_is_not_there(club: Database, now: datetime) -> None:
    """Its mount is lent by itself and its cap missing: nobody can collect it until one is back."""
    add_kit(club, "Evening kit", ["Heron", "dust cap"], now)
    reserve(club, "Evening kit", "Bram Ostler", now)
    lend(club, "Heron", "Ines", now)
    part_goes_missing(club, "Evening kit", "dust cap", now)
    (line,) = told(club)
    assert line.there is False
    with pytest.raises(NotToBeLent):
        lend(club, "Evening kit", "Bram Ostler", now)
    take_back(club, "Heron", now)
    assert [line.there for line in told(club)] == [True]


def test_nobody_is_called_in_for_what_came_back_damaged(club: Database, now: datetime) -> None:
    """ "You are next, and can collect it now" was written, while `loan advise` said "not now"."""
    add_kit(club, "Evening kit", ["Heron", "dust cap"], now - timedelta(days=9))
    reserve(club, "Evening kit", "Bram Ostler", now)
    reserve(club, "Wide 25", "Bram Ostler", now)
    worm = {"Heron": (Condition.DAMAGED, "worm, loose")}
    lend(club, "Evening kit", "Ines", now, pass_over=True)
    assert [(line.there, line.for_service) for line in told(club)] == [(False, False), (True, False)]
    take_back(club, "Evening kit", now, conditions=worm)
    kit, eyepiece = told(club)
    assert (kit.what, kit.there, kit.for_service, kit.due_on) == ("Evening kit", False, True, None)
    assert (eyepiece.there, eyepiece.for_service) == (True, False)
    due = reminders_due(club, now)
    assert due.counts.ready == 1
    assert [line.what for reminder in due.reminders for line in reminder.ready] == ["Wide 25"]
    add_service(club, "mount", "Heron", "a new worm", now, on=now.date())
    assert [(line.there, line.for_service) for line in told(club)] == [(True, False), (True, False)]


def test_kits_and_items_stand_by_their_names(club: Database, now: datetime) -> None:
    add_kit(club, "Evening kit", ["Heron", "dust cap"], now)
    for name in ("Wide 25", "Evening kit", "Bracken"):
        reserve(club, name, "Ines", now)
    assert [(line.what, line.kind) for line in told(club)] == [
        ("Bracken", "mount"),
        ("Evening kit", "kit"),
        ("Wide 25", "eyepiece"),
    ]


def test_nobody_waits(club: Database) -> None:
    assert told(club) == []
