"""The fleet side by side: mounts drawn with a known radius are found so, and only since they were mended."""

import numpy as np
import pytest

from obslog.club.overviews.fleet import Fleet, fleet_of
from obslog.club.performance.snapshot import Snapshot
from obslog.club.register import named_records
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from tests.club.performance.histories import NOW, Evening, drawn, fortnightly, put_on_record
from tests.known import known

RADII = {"Alder": 4.0, "Birch": 16.0}


@pytest.fixture
def two_mounts(sqlite_database: Database) -> Database:
    """Alder lands within 4', Birch within 16', twelve set-ups each; Cedar was never out."""
    named_records.add(sqlite_database, "site", "Mill Field", {"zone": "Europe/London"}, NOW)
    named_records.add(sqlite_database, "member", "Ines", {}, NOW)
    for mount in (*RADII, "Cedar"):
        named_records.add(sqlite_database, "mount", mount, {}, NOW)
    rng = np.random.default_rng(11)
    put_on_record(
        sqlite_database,
        (
            Evening(night, drawn(rng, radius, 12), mount=mount)
            for night in fortnightly(12)
            for mount, radius in RADII.items()
        ),
    )
    return sqlite_database


def fleet(database: Database) -> Fleet:
    with database.read() as session:
        return fleet_of(Snapshot(session))


def test_the_worst_stands_first_and_the_truth_within_its_interval(two_mounts: Database) -> None:
    found = fleet(two_mounts)
    assert [line.mount for line in found.lines] == ["Birch", "Alder"]
    assert found.silent == ["Cedar"]
    for line in found.lines:
        assert line.setups == line.half_arcmin.count == 12
        assert known(line.half_arcmin.low) < RADII[line.mount] < known(line.half_arcmin.high)


def test_the_mean_of_all_lies_in_the_middle_of_equal_numbers(two_mounts: Database) -> None:
    """Geometric means of as many set-ups each: that of all is the root of their product."""
    found = fleet(two_mounts)
    birch, alder = (line.half_arcmin.value for line in found.lines)
    assert found.all_setups is not None
    assert found.all_setups.value == pytest.approx((birch * alder) ** 0.5)


def test_a_mount_counts_from_its_last_mechanical_service(two_mounts: Database) -> None:
    nights = fortnightly(12)
    add_service(two_mounts, "mount", "Birch", "new worm", NOW, on=nights[8], mechanical=True)
    add_service(two_mounts, "mount", "Alder", "wiped", NOW, on=nights[8])
    lines = {line.mount: line for line in fleet(two_mounts).lines}
    assert (lines["Birch"].since, lines["Birch"].setups) == (nights[8], 4)
    assert (lines["Alder"].since, lines["Alder"].setups) == (None, 12)


def test_only_a_whole_interval_above_one_is_the_mounts_own_fault(two_mounts: Database) -> None:
    for line in fleet(two_mounts).lines:
        own = line.own
        assert line.worse_itself == (own is not None and own.low is not None and own.low > 1)


def test_a_club_without_nights_has_an_empty_fleet(club: Database) -> None:
    found = fleet(club)
    assert (found.lines, found.silent, found.all_setups) == ([], ["Bracken", "Heron", "Thistle"], None)
