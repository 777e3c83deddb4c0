"""The waiting list of each kit and item: who is next, who may wait, and what a member sees of the others."""

from datetime import datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.annual.lending_year import waiting_year
from obslog.club.annual.report_records import Period
from obslog.club.buying.evidence import evidence
from obslog.club.register.named_records import add
from obslog.club.register.things import lendable
from obslog.club.register.undo import undo
from obslog.club.reminding.next_waiting import next_for_each
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loan_pages import list_loans
from obslog.club.storeroom.loans import hand_over, lend, take_back
from obslog.club.storeroom.retirement import retire
from obslog.club.storeroom.waiting_list import (
    DoesNotWait,
    HasIt,
    NoBorrower,
    NotFirst,
    WaitsAlready,
    first_waiting,
    reserve,
    waiting_list,
    withdraw,
    without_names,
)
from obslog.errors import UnknownName
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Member


@pytest.fixture
def queue(club: Database, now: datetime) -> Database:
    """Three members want Bracken, an hour after one another: Bram Ostler, Noor, Ines."""
    add(club, "member", "Noor", {}, now)
    for hours, member in enumerate(("Bram Ostler", "Noor", "Ines")):
        reserve(club, "Bracken", member, now + timedelta(hours=hours))
    return club


def members(database: Database, name: str | None = None) -> list[str | None]:
    return [line.member for line in waiting_list(database, name)]


def next_for(database: Database, name: str) -> str | None:
    with database.read() as session:
        member = first_waiting(session, lendable(session, name))
        return member.name if member else None


def test_who_asked_first_is_next_whenever_it_was_written_down(queue: Database, now: datetime) -> None:
    assert [(line.place, line.member) for line in waiting_list(queue, "bracken")] == [
        (1, "Bram Ostler"),
        (2, "Noor"),
        (3, "Ines"),
    ]
    reserve(queue, "Thistle", "Ines", now)
    reserve(queue, "Thistle", "Noor", now - timedelta(days=1))
    assert members(queue, "Thistle") == ["Noor", "Ines"]
    assert (next_for(queue, "Bracken"), next_for(queue, "Thistle"), next_for(queue, "Heron")) == (
        "Bram Ostler",
        "Noor",
        None,
    )


def test_who_withdraws_leaves_the_places_of_the_others_and_may_ask_again_at_the_end(
    queue: Database, now: datetime
) -> None:
    lines = withdraw(queue, "Bracken", "bram ostler", now + timedelta(hours=4))
    assert [(line.place, line.member) for line in lines] == [(1, "Noor"), (2, "Ines")]
    lines = reserve(queue, "Bracken", "Bram Ostler", now + timedelta(hours=5))
    assert [line.member for line in lines] == ["Noor", "Ines", "Bram Ostler"]


def test_one_place_for_each_member_and_none_for_who_has_it(queue: Database, now: datetime) -> None:
    with pytest.raises(WaitsAlready, match="Noor waits for Bracken"):
        reserve(queue, "Bracken", "noor", now)
    lend(queue, "Bracken", "Bram Ostler", now + timedelta(hours=6))
    with pytest.raises(HasIt, match="Bram Ostler has Bracken"):
        reserve(queue, "Bracken", "Bram Ostler", now)
    with pytest.raises(DoesNotWait, match="Bram Ostler does not wait"):
        withdraw(queue, "Bracken", "Bram Ostler", now)
    with pytest.raises(UnknownName):
        reserve(queue, "Bracken", "Nour", now)
    assert members(queue) == ["Noor", "Ines"]


def test_a_loan_closes_the_place_of_the_borrower_alone(queue: Database, now: datetime) -> None:
    with pytest.raises(NotFirst, match="Somebody else is first"):
        lend(queue, "Bracken", "Ines", now)
    assert members(queue) == ["Bram Ostler", "Noor", "Ines"]
    lend(queue, "Bracken", "Ines", now, pass_over=True)
    assert members(queue) == ["Bram Ostler", "Noor"]
    take_back(queue, "Bracken", now)
    assert members(queue) == ["Bram Ostler", "Noor"]


def test_who_is_retired_waits_no_more_and_nobody_behind_them_is_held_up(
    queue: Database, now: datetime
) -> None:
    retire(queue, "member", "Bram Ostler", "moved away", now.date(), now)
    assert members(queue) == ["Noor", "Ines"]
    with pytest.raises(NoBorrower):
        reserve(queue, "Bracken", "Bram Ostler", now)
    lend(queue, "Bracken", "Noor", now)  # refused as NotFirst, were Bram still before her
    undo(queue, now)
    undo(queue, now)
    assert members(queue) == ["Bram Ostler", "Noor", "Ines"]


def test_who_left_on_another_laptop_holds_nobody_up_here(queue: Database, now: datetime) -> None:
    """The place of Bram is open still, for whoever wrote it had not heard of his leaving; that came with a merge."""
    lend(queue, "Bracken", "Ines", now, pass_over=True)
    with queue.write(now) as session:
        session.scalars(select(Member).where(Member.name == "Bram Ostler")).one().retired_on = now.date()
    assert (members(queue), next_for(queue, "Bracken")) == (["Noor"], "Noor")
    assert [loan.waiting for loan in list_loans(queue, now.date())] == [1]
    with queue.read() as session:
        following = next_for_each(session, now.date())
        assert [(line.member, line.waiting) for _, line in following] == [("Noor", 1)]
    today = Period(now.date(), now.date())
    with queue.read() as session:
        waiting = waiting_year(session, today, with_names=True)
        assert [
            (one.waiting, one.asked, one.went_without) for one in evidence(session, now.date()).queues
        ] == [(1, 3, 1)]
    assert (waiting.waiting, waiting.served, waiting.withdrawn) == (1, 1, 1)
    hand_over(queue, "Bracken", "Noor", now)  # nobody is before her


def test_asking_and_withdrawing_are_undone(queue: Database, now: datetime) -> None:
    undo(queue, now)
    assert members(queue) == ["Bram Ostler", "Noor"]
    withdraw(queue, "Bracken", "Bram Ostler", now)
    undo(queue, now)
    assert members(queue) == ["Bram Ostler", "Noor"]


def test_the_whole_list_has_kits_first_and_each_by_name(queue: Database, now: datetime) -> None:
    add_kit(queue, "Evening kit", ["Heron"], now)
    reserve(queue, "Evening kit", "Ines", now)
    reserve(queue, "Wide 25", "Ines", now)
    assert [(line.kind, line.what, line.place) for line in waiting_list(queue)] == [
        ("kit", "Evening kit", 1),
        ("mount", "Bracken", 1),
        ("mount", "Bracken", 2),
        ("mount", "Bracken", 3),
        ("eyepiece", "Wide 25", 1),
    ]
    assert members(queue, "Heron") == []  # who waits for a kit does not wait for its parts


def test_a_member_sees_how_many_wait_and_no_name_but_their_own(queue: Database) -> None:
    lines = waiting_list(queue, "Bracken")
    assert [line.member for line in without_names(lines, "NOOR")] == [None, "Noor", None]
    assert [line.member for line in without_names(lines)] == [None, None, None]
    assert [(line.place, line.asked_utc) for line in without_names(lines)] == [
        (line.place, line.asked_utc) for line in lines
    ]
