"""What was undone can be done again, as often as it was undone, until something new is recorded."""

import random
from collections.abc import Callable
from datetime import date, datetime, timedelta

import pytest

from obslog.club.checklist.step_ticks import tick_step
from obslog.club.night.arrival_corrections import edit_arrival, remove_arrival
from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.nights import end_night, note_night
from obslog.club.night.observation_corrections import edit_observation
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.open_night import NightChoice, SetupChoice
from obslog.club.night.setup_corrections import SetupEntry, edit_setup
from obslog.club.night.setups import start_setup
from obslog.club.night.snags import add_snag
from obslog.club.register import named_records
from obslog.club.register.undo import redo, undo
from obslog.club.storeroom.retirement import retire
from obslog.grammar.sky_readings import read_sky
from obslog.records.database import Database
from obslog.records.undoing.undo_errors import CannotRedo, NothingToRedo, NothingToUndo
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.steps import Step
from tests.written_once import Rows, rows_of

Act = Callable[[Database, datetime], object]
OPEN = SetupChoice()
SYNC = ArrivalEntry(target="Regulus")
ACTS: list[Act] = [
    lambda club, now: record_arrival(club, Role.SYNC, SYNC, OPEN, now),
    lambda club, now: record_arrival(
        club, Role.CHECK, ArrivalEntry(target="Procyon", note="wind"), OPEN, now
    ),
    lambda club, now: edit_arrival(club, 2, ArrivalEntry(target="Pollux", note=""), OPEN, now),
    lambda club, now: record_observations(
        club, "M 44", ObservationEntry(description="sparks"), now, observers=["Ines", "Bram Ostler"]
    ),
    lambda club, now: edit_observation(club, 2, ObservationEntry(rating=4, description="SPARKS"), now),
    lambda club, now: remove_arrival(club, 1, OPEN, now),
    lambda club, now: add_snag(club, Step.CABLES, "a lead caught", now),
    lambda club, now: tick_step(club, Step.LEVEL, "Heron", "Mill Field", now, now, value="0.2°"),
    lambda club, now: note_night(
        club, NightChoice(), now, present=["Bram Ostler"], sky=[read_sky("bortle 4")]
    ),
    lambda club, now: edit_setup(club, SetupEntry(eyepiece="Stop 20", note="moved"), OPEN, now),
    lambda club, now: start_setup(club, "Bracken", now, observer="Bram Ostler"),
    lambda club, now: named_records.add(club, "tube", "Stub", {"focal_mm": 480.0, "note": "green"}, now),
    lambda club, now: named_records.edit(club, "tube", "Stub", {"focal_mm": None}, now, rename="Stump"),
    lambda club, now: retire(club, "tube", "Stump", "too short", now.date(), now),
    lambda club, now: end_night(club, NightChoice(), now, note="clouds"),
]


LOG = {"acts", "changes", "change_batches"}  # which only grow


def rows(database: Database) -> Rows:
    """All tables as they stand, but for the record of acts."""
    return [(table, found) for table, found in rows_of(database.engine) if table.name not in LOG]


def test_undo_and_redo_as_often_as_one_likes_leave_every_table_as_it_was(
    evening: Database, now: datetime
) -> None:
    stages = [rows(evening)]
    for number, act in enumerate(ACTS):
        act(evening, now + timedelta(minutes=number))
        stages.append(rows(evening))
    later, lots = now + timedelta(hours=1), random.Random(15)
    for _ in range(12):
        times = lots.randint(1, len(ACTS))
        undone = [undo(evening, later) for _ in range(times)]
        assert rows(evening) == stages[len(ACTS) - times]
        assert [redo(evening, later) for _ in range(times)] == undone[::-1]
        assert rows(evening) == stages[-1]
    with pytest.raises(NothingToRedo):
        redo(evening, later)


def test_what_was_done_again_can_be_undone_and_done_again_in_part(club: Database, now: datetime) -> None:
    for name in ("Cleo Marsh", "Dov Levin", "Edda Holm"):
        named_records.add(club, "member", name, {}, now)
    assert [undo(club, now) for _ in range(3)] == [
        "add member Edda Holm", "add member Dov Levin", "add member Cleo Marsh",
    ]  # fmt: skip
    assert redo(club, now) == "add member Cleo Marsh"
    assert undo(club, now) == "add member Cleo Marsh"
    assert [redo(club, now), redo(club, now)] == ["add member Cleo Marsh", "add member Dov Levin"]
    names = [member["name"] for member in named_records.listed(club, "member")]
    assert names == ["Bram Ostler", "Cleo Marsh", "Dov Levin", "Ines"]


def test_nothing_is_done_again_where_nothing_was_undone(club: Database, now: datetime) -> None:
    with pytest.raises(NothingToRedo) as caught:
        redo(club, now)
    assert caught.value.message == "There is nothing to redo."


def test_after_something_new_what_was_undone_before_stays_undone(club: Database, now: datetime) -> None:
    named_records.add(club, "member", "Cleo Marsh", {}, now)
    undo(club, now)
    named_records.add(club, "member", "Dov Levin", {}, now)
    with pytest.raises(NothingToRedo):
        redo(club, now)
    undo(club, now)  # also where the new act is undone again: only that one can be done again
    assert redo(club, now) == "add member Dov Levin"
    with pytest.raises(NothingToRedo):
        redo(club, now)


def test_an_act_that_changed_nothing_is_nothing_new(club: Database, now: datetime) -> None:
    named_records.add(club, "member", "Cleo Marsh", {}, now)
    undo(club, now)
    named_records.edit(club, "member", "Ines", {"note": None}, now)
    assert redo(club, now) == "add member Cleo Marsh"


def test_what_a_row_that_came_without_an_act_stands_in_the_way_of_is_refused(
    club: Database, now: datetime
) -> None:
    from obslog.records.tables.logbook_tables import Member

    named_records.add(club, "member", "Cleo Marsh", {}, now)
    undo(club, now)
    with club.write(now) as session:  # as when a sheet came in from another laptop
        session.add(Member(name="Cleo Marsh", name_key="cleo marsh"))
    with pytest.raises(CannotRedo, match="add member Cleo Marsh"):
        redo(club, now)
    assert len(named_records.listed(club, "member")) == 3


def test_all_that_is_on_record_can_be_undone_and_done_again(evening: Database, now: datetime) -> None:
    whole, count = rows(evening), 0
    while True:
        try:
            undo(evening, now)
        except NothingToUndo:
            break
        count += 1
    assert count >= 13  # the club's records, the night and the set-up
    assert rows(evening) == []
    for _ in range(count):
        redo(evening, now)
    assert rows(evening) == whole


def test_the_day_of_an_act_stays_what_it_was(evening: Database, now: datetime) -> None:
    record_arrival(evening, Role.SYNC, SYNC, OPEN, now)
    undo(evening, now + timedelta(days=1))
    redo(evening, now + timedelta(days=1))
    page = note_night(evening, NightChoice(night=date(2026, 3, 2)), now)
    assert page.setups[0].arrivals == 1
