"""One mount on two sides, from nights put on record with known landing errors."""

from datetime import date, timedelta

import numpy as np
import pytest

from obslog.club.landing.before_and_after import NoService, OneSided, OneSplit, Split, compare_sides
from obslog.club.register import named_records
from obslog.errors import UnknownName
from obslog.records.database import Database
from tests.club.landing.two_mounts import SERVICED, add_the_service, two_mounts
from tests.club.performance.histories import NOW, Evening, drawn, put_on_record
from tests.club.performance.test_mount_fit import take_in

TODAY = date(2026, 3, 2)


@pytest.fixture
def club(sqlite_database: Database) -> Database:
    return two_mounts(sqlite_database)


def test_a_service_that_halved_the_landing_error(club: Database) -> None:
    add_the_service(club)
    found = compare_sides(club, "heron", Split(service=True), TODAY)
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
    assert compare_sides(club, "Heron", Split(before=SERVICED), TODAY).ratio == found.ratio


def test_by_a_person_who_lands_twice_as_far_off(club: Database) -> None:
    found = compare_sides(club, "Heron", Split(observer="bram ostler"), TODAY)
    assert found.ratio.low is not None
    assert found.ratio.high is not None
    assert found.ratio.low < 2.0 < found.ratio.high
    assert found.words[0].endswith("worse (20 set-ups and 20 set-ups).")


def test_what_nobody_signed_is_by_no_other_person(club: Database) -> None:
    without = compare_sides(club, "Heron", Split(observer="Bram Ostler"), TODAY)
    put_on_record(
        club,
        [Evening(date(2025, 1, 7) + timedelta(days=9 * place), [300.0], observer="") for place in range(9)],
    )
    found = compare_sides(club, "Heron", Split(observer="Bram Ostler"), TODAY)
    assert [side.half_arcmin.count for side in found.sides] == [20, 20]
    assert found.ratio == without.ratio
    put_on_record(club, [Evening(date(2025, 1, 8), [9.0], mount="Bittern", observer="")])
    with pytest.raises(OneSided, match="by others"):
        compare_sides(club, "Bittern", Split(observer="Ines"), TODAY)


def test_what_is_not_decided_says_how_many_nights_would_settle_it(club: Database) -> None:
    add_the_service(club)
    found = compare_sides(club, "Heron", Split(before=date(2025, 12, 20)), TODAY)
    assert not found.decided
    assert found.words[0].split(": ")[1].startswith("that may be chance")
    nights = found.more_nights
    assert (
        "No number of nights" in found.words[2]
        if nights is None
        else f"takes about {nights} more" in found.words[2]
    )


@pytest.mark.parametrize(
    ("year", "today", "which"),
    [
        (2025, date(2026, 3, 2), "in other years"),
        (2025, date(2025, 12, 31), "in 2025"),
        (2024, date(2025, 12, 31), "in other years"),
    ],
)
def test_nights_are_asked_for_in_years_that_still_can_have_some(
    sqlite_database: Database, year: int, today: date, which: str
) -> None:
    """Nobody adds nights to a year that is past; it was told how many "of each kind"."""
    put_years(sqlite_database, 24)
    found = compare_sides(sqlite_database, "Heron", Split(year=year), today)
    assert not found.decided
    assert found.more_nights is not None
    night = "night" if found.more_nights == 1 else "nights"
    assert f" takes about {found.more_nights} more {night} {which}, in four cases of five" in found.words[-1]


def test_a_year_with_few_nights_is_compared_no_better_by_any_number_of_others(
    sqlite_database: Database,
) -> None:
    put_years(sqlite_database, 2)
    past, present = (
        compare_sides(sqlite_database, "Heron", Split(year=2025), date(year, 12, 31)) for year in (2026, 2025)
    )
    assert past.more_nights is None
    assert past.words[-1] == "No number of nights would settle it: too few set-ups in 2025 are on record."
    assert present.more_nights is not None


def put_years(database: Database, of_2025: int) -> None:
    """Heron by Ines, about 12' out, on thirty nights of 2024 and so many of 2025."""
    for kind, name in (("site", "Mill Field"), ("mount", "Heron"), ("member", "Ines")):
        more = {"zone": "Europe/London"} if kind == "site" else {}
        named_records.add(database, kind, name, more, NOW)
    rng, day = np.random.default_rng(3), timedelta(days=1)
    nights = [date(2024, 1, 5) + 9 * place * day for place in range(30)]
    nights += [date(2025, 1, 5) + 9 * place * day for place in range(of_2025)]
    put_on_record(database, [Evening(night, drawn(rng, 12.0)) for night in nights])


def test_what_cannot_be_compared_says_why(club: Database) -> None:
    for split in (Split(), Split(service=True, year=2025)):
        with pytest.raises(OneSplit):
            compare_sides(club, "Heron", split, TODAY)
    with pytest.raises(NoService):
        compare_sides(club, "Heron", Split(service=True), TODAY)
    with pytest.raises(OneSided, match="before 2020-01-01"):
        compare_sides(club, "Heron", Split(before=date(2020, 1, 1)), TODAY)
    with pytest.raises(OneSided, match="in 2031"):
        compare_sides(club, "Heron", Split(year=2031), TODAY)
    with pytest.raises(OneSided, match="by Bram Ostler"):
        compare_sides(club, "Bittern", Split(observer="Bram Ostler"), TODAY)
    with pytest.raises(UnknownName):
        compare_sides(club, "Heron", Split(observer="Zoe"), TODAY)
    with pytest.raises(UnknownName):
        compare_sides(club, "Heron", Split(tube="Zoe"), TODAY)


def test_what_differs_in_the_budget_is_told(sqlite_database: Database) -> None:
    """The sample's set-ups have polar axes of their own: between two halves of them the polar axis differs most."""
    take_in(sqlite_database, "german_one_sync")
    found = compare_sides(sqlite_database, "Heron", Split(before=date(2026, 3, 15)), TODAY)
    assert {one.cause for one in found.differs} >= {"polar axis", "cone error", "scatter"}
    sizes = [abs(one.second_arcmin - one.first_arcmin) for one in found.differs]
    assert sizes == sorted(sizes, reverse=True)


def test_a_tube_and_the_others(sqlite_database: Database) -> None:
    take_in(sqlite_database, "german_one_sync")
    with pytest.raises(OneSided, match="with Short tube"):
        compare_sides(sqlite_database, "Heron", Split(tube="short tube"), TODAY)
