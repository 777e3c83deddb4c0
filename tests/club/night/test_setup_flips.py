"""The tube is turned to the other side of the pier, and the arrivals that follow get that side."""

from datetime import datetime, timedelta

import pytest

from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.open_night import SetupChoice
from obslog.club.night.plausibility import BeforeItsSetup
from obslog.club.night.setup_corrections import FlippedSince, HasNoSides, flip_setup
from obslog.club.night.setups import show_setup, start_setup
from obslog.club.register.undo import undo
from obslog.records.database import Database
from obslog.times import FutureTime
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import PierSide

OPEN = SetupChoice()


def pier_sides(database: Database) -> list[str | None]:
    return [arrival.pier_side for arrival in show_setup(database, OPEN).arrivals]


def arrive(database: Database, target: str, at: str, now: datetime, side: PierSide | None = None) -> None:
    entry = ArrivalEntry(target=target, at=at, pier_side=side)
    record_arrival(database, Role.CHECK, entry, OPEN, now)


def test_arrivals_after_a_flip_get_its_side_where_none_is_said(evening: Database, now: datetime) -> None:
    arrive(evening, "Regulus", "20:30", now)
    arrive(evening, "Procyon", "20:40", now, PierSide.WEST)
    flipped = flip_setup(evening, PierSide.EAST, OPEN, now, at="20:50")
    assert (flipped.setup.pier_side, flipped.setup.pier_side_since, flipped.remarks) == ("east", "20:50", [])
    arrive(evening, "Pollux", "20:49", now)  # before it: nobody said on which side
    arrive(evening, "Castor", "20:50", now)
    arrive(evening, "Regulus", "21:00", now, PierSide.WEST)
    assert pier_sides(evening) == [None, "west", None, "east", "west"]
    undo(evening, now)
    for _ in range(3):
        undo(evening, now)
    assert pier_sides(evening) == [None, "west"]
    assert show_setup(evening, OPEN).pier_side is None


def test_a_side_on_which_the_tube_can_hardly_be_now_is_not_recorded(evening: Database, now: datetime) -> None:
    """Regulus (RA 10 h 08 min) is east of the meridian at 20:40, Capella (5 h 17 min) 2 h west of it."""
    flip_setup(evening, PierSide.WEST, OPEN, now, at="20:30")
    arrive(evening, "Regulus", "20:40", now)
    entry = ArrivalEntry(target="Capella", at="20:50")
    turned = record_arrival(evening, Role.CHECK, entry, OPEN, now)
    assert pier_sides(evening) == ["west", None]
    assert turned.remarks == [
        "The tube was on the west side of the pier, and on the way to Capella a mount turns over: no side is recorded. "
        "With pier east or pier west one is."
    ]


def test_a_flip_typed_late_names_the_arrivals_that_have_no_side(evening: Database, now: datetime) -> None:
    for target, at in (("Regulus", "20:30"), ("Pollux", "21:00"), ("Castor", "21:10")):
        arrive(evening, target, at, now)
    remarks = flip_setup(evening, PierSide.WEST, OPEN, now, at="20:50").remarks
    assert remarks == ["Arrivals 2, 3 are on record since then without a side: obslog edit NUMBER --pier"]
    assert pier_sides(evening) == [None, None, None]
    with pytest.raises(FlippedSince, match="turned again at 20:50"):
        flip_setup(evening, PierSide.EAST, OPEN, now, at="20:40")


def test_a_flip_counts_from_its_minute(evening: Database, now: datetime) -> None:
    flip_setup(evening, PierSide.WEST, OPEN, now + timedelta(seconds=40))
    arrive(evening, "Regulus", "21:40", now + timedelta(seconds=50))
    assert pier_sides(evening) == ["west"]


def test_a_flip_is_of_a_german_mount_and_of_its_own_setup(evening: Database, now: datetime) -> None:
    flip_setup(evening, PierSide.WEST, OPEN, now)
    start_setup(evening, "Bracken", now)
    with pytest.raises(HasNoSides, match="Bracken is a fork mount"):
        flip_setup(evening, PierSide.WEST, SetupChoice(mount="Bracken"), now)
    start_setup(evening, "Thistle", now)
    with pytest.raises(HasNoSides, match="Thistle is an altaz mount"):
        flip_setup(evening, PierSide.WEST, SetupChoice(mount="Thistle"), now)
    again = start_setup(evening, "Heron", now)
    assert (again.pier_side, again.pier_side_since) == (None, None)
    with pytest.raises(BeforeItsSetup):
        flip_setup(evening, PierSide.WEST, SetupChoice(mount="Heron"), now, at="20:00")
    assert flip_setup(evening, PierSide.WEST, SetupChoice(mount="Heron"), now, at="20:00", sure=True)
    with pytest.raises(FutureTime):
        flip_setup(evening, PierSide.WEST, SetupChoice(mount="Heron"), now, at="22:00")
