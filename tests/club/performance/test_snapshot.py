"""A snapshot of all mounts gives what the database gives of each, and reads nothing more for it."""

from datetime import date

import numpy as np
import pytest

from obslog.club.performance.mount_fits import MountFits
from obslog.club.performance.placed_arrivals import MountTypeUnknown, NothingPlaced
from obslog.club.performance.polar_record import polar_record, polar_records
from obslog.club.performance.snapshot import read_snapshot
from obslog.club.register import named_records
from obslog.club.upkeep.services import add_service
from obslog.errors import UnknownName
from obslog.records.opening import Database
from tests.club.performance.test_mount_fit import NOW, take_in


def test_the_fit_of_a_snapshot_is_that_of_the_database(sqlite_database: Database) -> None:
    take_in(sqlite_database, "german_one_sync")
    add_service(sqlite_database, "mount", "Heron", "rebuilt", NOW, on=date(2026, 3, 10), mechanical=True)
    add_service(sqlite_database, "tube", "Long tube", "rings", NOW, on=date(2026, 3, 20), mechanical=True)
    with sqlite_database.read() as session:
        snapshot = read_snapshot(session)
    for tube in (None, "long TUBE"):
        placed, fit = MountFits(snapshot).of("heron", tube)
        expected_placed, expected_fit = MountFits(sqlite_database).of("heron", tube)
        assert placed.setups == expected_placed.setups
        assert (placed.mount, placed.tube) == ("Heron", "Long tube")
        assert placed.era_since == [placed.setups[0].night, date(2026, 3, 10), date(2026, 3, 20)]
        assert fit.noise_arcmin == expected_fit.noise_arcmin
        np.testing.assert_array_equal(fit.residual_east_arcmin, expected_fit.residual_east_arcmin)


def test_the_polar_record_of_a_snapshot_is_that_of_the_database(sqlite_database: Database) -> None:
    take_in(sqlite_database, "german_one_sync")
    with sqlite_database.read() as session:
        snapshot = read_snapshot(session)
    (record,) = polar_records(snapshot, MountFits(snapshot), NOW.date()).values()
    assert record == polar_record(MountFits(sqlite_database), "Heron", NOW.date())
    assert [setup.key for setup, _ in record.separations] == [s.key for s in snapshot.landings().setups]


def test_a_snapshot_refuses_what_the_database_refuses(sqlite_database: Database) -> None:
    take_in(sqlite_database, "german_one_sync")
    named_records.add(sqlite_database, "mount", "Riddle", {}, NOW)
    with sqlite_database.read() as session:
        snapshot = read_snapshot(session)
    for source in (snapshot, sqlite_database):
        fits = MountFits(source)
        with pytest.raises(UnknownName, match="Heronn"):
            fits.of("Heronn")
        with pytest.raises(UnknownName, match="Shortest tube"):
            fits.of("Heron", "Shortest tube")
        with pytest.raises(MountTypeUnknown):
            fits.of("Riddle")
        with pytest.raises(NothingPlaced, match="no arrivals with Short tube"):
            fits.of("Heron", "Short tube")
