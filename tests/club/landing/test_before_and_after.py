"""One mount on two sides, from nights put on record with known landing errors."""

from datetime import date

import pytest

from obslog.club.landing.before_and_after import NoService, OneSided, OneSplit, Split, compare_sides
from obslog.errors import UnknownName
from obslog.records.database import Database
from tests.club.landing.two_mounts import SERVICED, add_the_service, two_mounts
from tests.club.performance.test_mount_fit import take_in


@pytest.fixture
def club(sqlite_database: Database) -> Database:
    return two_mounts(sqlite_database)


def test_a_service_that_halved_the_landing_error(club: Database) -> None:
    add_the_service(club)
    found = compare_sides(club, "heron", Split(service=True))
    assert [side.name for side in found.sides] == ["before 2025-07-07", "since 2025-07-07"]
    assert [side.half_arcmin.count for side in found.sides] == [21, 19]
    assert found.ratio.low is not None
    assert found.ratio.high is not None
    assert found.ratio.low < 0.5 < found.ratio.high < 0.8
    assert found.decided
    assert found.more_nights is None
    assert "better (19 set-ups and 21 set-ups)" in found.words[0]
    # without places of their stars there is no budget
    assert found.differs == []
    assert compare_sides(club, "Heron", Split(before=SERVICED)).ratio == found.ratio


def test_by_a_person_who_lands_twice_as_far_off(club: Database) -> None:
    found = compare_sides(club, "Heron", Split(observer="bram ostler"))
    assert found.ratio.low is not None
    assert found.ratio.high is not None
    assert found.ratio.low < 2.0 < found.ratio.high
    assert found.words[0].endswith("worse (20 set-ups and 20 set-ups).")


def test_what_is_not_decided_says_how_many_nights_would_settle_it(club: Database) -> None:
    add_the_service(club)
    found = compare_sides(club, "Heron", Split(before=date(2025, 12, 20)))
    assert not found.decided
    assert found.words[0].split(": ")[1].startswith("that may be chance")
    nights = found.more_nights
    assert (
        "No number of nights" in found.words[2]
        if nights is None
        else f"takes about {nights} more" in found.words[2]
    )


def test_what_cannot_be_compared_says_why(club: Database) -> None:
    for split in (Split(), Split(service=True, year=2025)):
        with pytest.raises(OneSplit):
            compare_sides(club, "Heron", split)
    with pytest.raises(NoService):
        compare_sides(club, "Heron", Split(service=True))
    with pytest.raises(OneSided, match="before 2020-01-01"):
        compare_sides(club, "Heron", Split(before=date(2020, 1, 1)))
    with pytest.raises(OneSided, match="in 2031"):
        compare_sides(club, "Heron", Split(year=2031))
    with pytest.raises(OneSided, match="by Bram Ostler"):
        compare_sides(club, "Bittern", Split(observer="Bram Ostler"))
    with pytest.raises(UnknownName):
        compare_sides(club, "Heron", Split(observer="Zoe"))
    with pytest.raises(UnknownName):
        compare_sides(club, "Heron", Split(tube="Zoe"))


def test_what_differs_in_the_budget_is_told(sqlite_database: Database) -> None:
    """The sample's set-ups have polar axes of their own: between two halves of them the polar axis differs most."""
    take_in(sqlite_database, "german_one_sync")
    found = compare_sides(sqlite_database, "Heron", Split(before=date(2026, 3, 15)))
    assert {one.cause for one in found.differs} >= {"polar axis", "cone error", "scatter"}
    sizes = [abs(one.second_arcmin - one.first_arcmin) for one in found.differs]
    assert sizes == sorted(sizes, reverse=True)


def test_a_tube_and_the_others(sqlite_database: Database) -> None:
    take_in(sqlite_database, "german_one_sync")
    with pytest.raises(OneSided, match="with Short tube"):
        compare_sides(sqlite_database, "Heron", Split(tube="short tube"))
