"""A member's habits: own set-ups beside the others', steps without a tick, snags; each counted by hand."""

from datetime import date, datetime, timedelta

import numpy as np
import pytest
from sqlalchemy import select

from obslog.club.checklist.step_ticks import tick_step
from obslog.club.night.snags import add_snag
from obslog.club.overviews.habits import Habits, habits_of
from obslog.club.performance.mount_fits import MountFits
from obslog.club.performance.snapshot import Snapshot
from obslog.club.register import named_records
from obslog.club.routine.step_guides import steps_for
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Member, Setup
from obslog.vocabulary.mounts import Controller, MountType
from obslog.vocabulary.steps import Step
from tests.club.over_time.knocked_clubs import put_mounts, steady
from tests.club.performance.histories import NOW, Evening, fortnightly, put_on_record
from tests.club.performance.test_mount_fit import take_in


def habits(database: Database, name: str) -> Habits:
    with database.read() as session:
        member = session.scalars(select(Member).where(Member.name == name)).one()
        return habits_of(session, member, MountFits(Snapshot(session)))


def test_own_set_ups_are_told_from_the_others(club_of_three: Database) -> None:
    """Twelve set-ups of each of three mounts, by two members in turn."""
    found = habits(club_of_three, "Ines")
    assert found.setups == 18
    assert [one.what for one in found.landing] == ["Alder", "Birch", "Cedar"]
    for one in found.landing:
        assert one.own is not None
        assert one.others is not None
        assert (one.own.count, one.others.count) == (6, 6)
    assert found.beside_club is not None
    assert found.beside_club.count == 18


def test_how_the_axis_stood_counts_with_each_tube_that_was_on(sqlite_database: Database) -> None:
    """Iris and Jon set Heron up in turn, twelve times each: she with the short tube, he with the long one."""
    put_mounts(
        sqlite_database, np.random.default_rng(8), {"Heron": steady()}, tubes=["Short tube", "Long tube"] * 12
    )
    found = habits(sqlite_database, "Iris").polar_error
    assert found is not None
    assert found.own is not None
    assert found.others is not None
    assert (found.own.count, found.others.count) == (12, 12)


def test_what_nobody_signed_is_not_another_persons(club_of_three: Database) -> None:
    put_on_record(
        club_of_three,
        [
            Evening(night, [90.0] * 3, mount="Alder", observer="")
            for night in fortnightly(5, date(2026, 1, 5))
        ],
    )
    (alder,) = [one for one in habits(club_of_three, "Ines").landing if one.what == "Alder"]
    assert alder.others is not None
    assert (alder.own.count, alder.others.count) == (6, 6)


def test_a_polar_axis_that_nobody_signed_is_not_another_persons(sqlite_database: Database) -> None:
    """Eight set-ups of a sheet of known truth: three by Iris, two by Jon, and of three it is not on record."""
    take_in(sqlite_database, "german_exact")
    with sqlite_database.write(NOW) as session:
        who = {member.name: member.id for member in session.scalars(select(Member))}
        setups = session.scalars(select(Setup)).all()
        for setup, name in zip(setups, ["Iris"] * 3 + ["Jon"] * 2 + [""] * 3, strict=True):
            setup.member_id = who.get(name)
    polar = habits(sqlite_database, "Iris").polar_error
    assert polar is not None
    assert polar.others is not None
    assert (polar.own.count, polar.others.count) == (3, 2)


def test_who_has_the_crooked_tube_is_not_measured_by_those_who_have_the_straight_one(
    club_of_three: Database,
) -> None:
    """Alder lands 40' out with the short tube and 5' with the long one; Ines has the short one more often."""
    for tube in ("Long tube", "Short tube"):
        named_records.add(club_of_three, "tube", tube, {}, NOW)
    nights = fortnightly(24, date(2026, 1, 5))
    who = ["Ines", "Ines", "Tomasz", "Tomasz", "Tomasz", "Ines"] * 4
    evenings = [
        Evening(night, [far] * 6, mount="Alder", observer=name, tube=tube)
        for night, name, (tube, far) in zip(
            nights, who, ([("Short tube", 40.0)] * 3 + [("Long tube", 5.0)] * 3) * 4, strict=True
        )
    ]
    put_on_record(club_of_three, evenings)
    of_alder = [one for one in habits(club_of_three, "Ines").landing if one.what.startswith("Alder")]
    told = {one.what: (one.own, one.others) for one in of_alder}
    assert told.keys() == {f"Alder with {tube}" for tube in ("Long tube", "Short tube", "no tube on record")}
    own, others = told["Alder with Short tube"]
    assert own is not None
    assert others is not None
    assert (own.count, others.count) == (8, 4)
    assert own.value == pytest.approx(others.value)


def test_steps_without_a_tick_are_counted_where_others_were_ticked(evening: Database, now: datetime) -> None:
    assert habits(evening, "Ines").ticked == 0
    tick_step(evening, Step.LEVEL, "Heron", "Mill Field", now - timedelta(minutes=5), now)
    found = habits(evening, "Ines")
    has = [guide.step for guide in steps_for(MountType.GERMAN, Controller.SHIFT)]
    assert found.ticked == 1
    assert sorted(one.step for one in found.not_ticked) == sorted(set(has) - {Step.LEVEL})
    assert {(one.count, one.share.value) for one in found.not_ticked} == {(1, 1.0)}


def test_two_snags_of_a_set_up_at_one_step_are_one_set_up_with_a_snag(
    evening: Database, now: datetime
) -> None:
    add_snag(evening, Step.LEVEL, "bubble off", now - timedelta(minutes=9))
    add_snag(evening, Step.LEVEL, "again", now - timedelta(minutes=5))
    (one,) = habits(evening, "Ines").snags
    assert (one.step, one.count, one.share.value, one.share.count) == (Step.LEVEL, 1, 1.0, 1)


@pytest.mark.parametrize("name", ["Ines", "Bram Ostler"])
def test_who_has_set_nothing_up_has_no_habits(club: Database, name: str) -> None:
    found = habits(club, name)
    assert (found.setups, found.beside_club, found.landing, found.polar_error) == (0, None, [], None)
    assert (found.ticked, found.not_ticked, found.snags) == (0, [], [])
