"""Two spellings joined: nothing is lost, nothing refers to the name that went, and one undo puts all back."""

from datetime import datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import select

from obslog.club.night.nights import start_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.setups import start_setup
from obslog.club.night.snags import add_snag
from obslog.club.office.joining import HasNoNameAnyMore, SameMember, TwoPeople, join_members
from obslog.club.privacy.leaving_members import leave
from obslog.club.privacy.why_kept import referring
from obslog.club.register.contacts import reach_of, set_contact
from obslog.club.register.named_records import add, shown
from obslog.club.register.undo import redo, undo
from obslog.club.storeroom.loan_pages import list_loans
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.retirement import retire
from obslog.club.storeroom.waiting_list import reserve, waiting_list
from obslog.club.upkeep.services import add_service
from obslog.errors import UnknownName, WholeNameNeeded
from obslog.records.database import Database
from obslog.records.tables.schema import metadata
from obslog.vocabulary.steps import Step

OTHER = "Innes"


def everything(database: Database) -> dict[str, list[Any]]:
    """All rows of all tables but the record of acts, and of what is only computed."""
    without = {"acts", "changes", "change_batches", "kept_results", "mount_changes"}
    with database.read() as session:
        return {
            table.name: sorted(map(tuple, session.execute(select(table))), key=str)
            for table in metadata.sorted_tables
            if table.name not in without
        }


def referred_to(database: Database, name: str) -> dict[str, int]:
    """How often each column refers to a member."""
    members = metadata.tables["members"]
    with database.read() as session:
        key = session.scalar(select(members.c.id).where(members.c.name == name))
        return {
            f"{table.name}.{column.name}": count
            for table, column in referring(metadata)
            if (count := len(session.execute(select(table.c.id).where(column == key)).all()))
        }


@pytest.fixture
def spelt_twice(club: Database, now: datetime) -> Database:
    """A member under two names: each waits for the same item and has a contact; the rest is under the other."""
    days = (now - timedelta(days=60 - day) for day in range(60))
    add(club, "member", OTHER, {"note": "has a key"}, next(days))
    set_contact(club, OTHER, {"phone": "01632 960 417", "address": "3 Otter Row"}, next(days))
    set_contact(club, "Ines", {"phone": "01632 960 001"}, next(days))
    lend(club, "Wide 25", OTHER, next(days), by="Bram Ostler")
    take_back(club, "Wide 25", next(days), by="Bram Ostler")
    lend(club, "Stop 20", "Bram Ostler", next(days), by=OTHER)
    reserve(club, "Stop 20", OTHER, next(days))
    reserve(club, "Stop 20", "Ines", next(days))
    add_service(
        club, "mount", "Heron", "new belt", next(days), on=(now - timedelta(days=55)).date(), by=OTHER
    )
    start_night(club, "Mill Field", now - timedelta(hours=2), present=[OTHER])
    start_setup(club, "Heron", now - timedelta(hours=2), tube="Long tube", observer=OTHER)
    record_observations(club, "M 44", ObservationEntry(), now, observers=[OTHER])
    add_snag(club, Step.LEVEL, "the bubble was off", now, mount="Heron", member=OTHER)
    return club


def test_all_is_under_the_kept_name_and_the_other_stands_in_its_note(
    spelt_twice: Database, now: datetime
) -> None:
    joined = join_members(spelt_twice, "Ines", OTHER, now)
    assert joined.moved == {
        "attendances": 1, "contacts": 1, "loans": 2, "observations": 1, "reservations": 1,
        "services": 1, "setups": 1, "snags": 1,
    }  # fmt: skip
    assert shown(spelt_twice, "member", "Ines")["note"] == f"has a key; also written {OTHER}"
    with pytest.raises(UnknownName):
        shown(spelt_twice, "member", OTHER)
    assert referred_to(spelt_twice, "Ines") == {
        "attendances.member_id": 1, "contacts.member_id": 1, "loans.issued_by_id": 1, "loans.member_id": 1,
        "observations.member_id": 1, "reservations.member_id": 1, "services.member_id": 1,
        "setups.member_id": 1, "snags.member_id": 1,
    }  # fmt: skip
    assert [loan.member for loan in list_loans(spelt_twice, now.date(), with_back=True)] == [
        "Ines", "Bram Ostler",
    ]  # fmt: skip


def test_what_both_had_is_kept_once(spelt_twice: Database, now: datetime) -> None:
    asked = [line.asked_utc for line in waiting_list(spelt_twice)]
    join_members(spelt_twice, "Ines", OTHER, now)
    [waits] = waiting_list(spelt_twice)
    assert (waits.member, waits.asked_utc) == ("Ines", min(asked))
    reach = reach_of(spelt_twice, "Ines")
    assert (reach.phone, reach.address) == ("01632 960 001", "3 Otter Row")


def test_one_undo_puts_every_row_back_and_redo_joins_again(spelt_twice: Database, now: datetime) -> None:
    before = everything(spelt_twice)
    join_members(spelt_twice, "Ines", OTHER, now)
    joined = everything(spelt_twice)
    assert joined != before
    assert undo(spelt_twice, now) == f"join {OTHER} to Ines"
    assert everything(spelt_twice) == before
    redo(spelt_twice, now)
    assert everything(spelt_twice) == joined


def test_looking_changes_nothing(spelt_twice: Database, now: datetime) -> None:
    before = everything(spelt_twice)
    assert join_members(spelt_twice, "Ines", OTHER, now, only_look=True).done is False
    assert everything(spelt_twice) == before


def test_two_who_were_both_present_on_a_night_are_joined_only_when_sure(
    club: Database, now: datetime
) -> None:
    start_night(club, "Mill Field", now, present=["Ines", "Bram Ostler"])
    before = everything(club)
    with pytest.raises(TwoPeople) as refused:
        join_members(club, "Ines", "Bram Ostler", now)
    assert "2026-03-02" in refused.value.message
    assert "--sure" in refused.value.hint
    assert everything(club) == before
    assert join_members(club, "Ines", "Bram Ostler", now, only_look=True).two_people
    join_members(club, "Ines", "Bram Ostler", now, sure=True)
    assert referred_to(club, "Ines") == {"attendances.member_id": 1}
    undo(club, now)
    assert everything(club) == before


def test_two_of_whom_one_lent_to_the_other_are_joined_only_when_sure(club: Database, now: datetime) -> None:
    lend(club, "Wide 25", "Ines", now, by="Bram Ostler")
    with pytest.raises(TwoPeople):
        join_members(club, "Bram Ostler", "Ines", now)


def test_a_member_in_use_stays_in_use(club: Database, now: datetime) -> None:
    retire(club, "member", "Ines", "moved", now.date(), now)
    join_members(club, "Ines", "Bram Ostler", now)
    assert shown(club, "member", "Ines")["retired_on"] is None


def test_one_name_twice_a_beginning_and_a_removed_name_are_refused(club: Database, now: datetime) -> None:
    with pytest.raises(SameMember):
        join_members(club, "Ines", "ines", now)
    with pytest.raises(WholeNameNeeded):
        join_members(club, "Ines", "Bram", now)
    left = leave(club, "Bram Ostler", now)
    with pytest.raises(HasNoNameAnyMore):
        join_members(club, "Ines", left.name, now)


def in_all_of_it(database: Database, words: tuple[str, ...]) -> set[str]:
    """Which of the words stand anywhere in the database, the record of acts among it."""
    with database.read() as session:
        told = "\n".join(
            str(tuple(row)) for table in metadata.sorted_tables for row in session.execute(select(table))
        )
    return {word for word in words if word in told}


def test_who_leaves_later_is_forgotten_under_both_names(spelt_twice: Database, now: datetime) -> None:
    traces = (OTHER, "Ines", "01632 960 417", "01632 960 001", "3 Otter Row", "has a key")
    join_members(spelt_twice, "Ines", OTHER, now)
    assert in_all_of_it(spelt_twice, traces) == set(traces)
    leave(spelt_twice, "Ines", now)
    assert in_all_of_it(spelt_twice, traces) == set()


def test_who_was_joined_by_mistake_keeps_their_name_when_the_first_leaves(
    spelt_twice: Database, now: datetime
) -> None:
    join_members(spelt_twice, "Ines", OTHER, now)
    undo(spelt_twice, now)
    leave(spelt_twice, "Ines", now)
    assert in_all_of_it(spelt_twice, ("01632 960 417", "01632 960 001")) == {"01632 960 417"}
    assert shown(spelt_twice, "member", OTHER)["note"] == "has a key"
