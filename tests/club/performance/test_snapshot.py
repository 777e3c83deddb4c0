"""A snapshot of all mounts gives what is on record of each."""

from datetime import date

import numpy as np
import pytest

from obslog.club.performance.mount_fits import MountFits, examined
from obslog.club.performance.placed_arrivals import MountTypeUnknown, NothingPlaced
from obslog.club.performance.polar_record import polar_record, polar_records
from obslog.club.performance.snapshot import Snapshot, snapshot_of
from obslog.club.register import named_records
from obslog.club.upkeep.services import add_service
from obslog.errors import UnknownName
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Mount
from obslog.vocabulary.mounts import MountType
from tests.club.performance.test_mount_fit import NOW, take_in


def test_the_fit_of_a_mount_is_that_of_all_its_arrivals_with_the_tube(sqlite_database: Database) -> None:
    take_in(sqlite_database, "german_one_sync")
    add_service(sqlite_database, "mount", "Heron", "rebuilt", NOW, on=date(2026, 3, 10), mechanical=True)
    add_service(sqlite_database, "tube", "Long tube", "rings", NOW, on=date(2026, 3, 20), mechanical=True)
    for tube in (None, "long TUBE"):
        with snapshot_of(sqlite_database) as snapshot:
            placed, fit = MountFits(snapshot).of("heron", tube)
            anew = examined(MountFits(snapshot).placed(snapshot.mount_named("heron"))).fit
        assert (placed.mount, placed.tube) == ("Heron", "Long tube")
        assert placed.era_since == [placed.setups[0].night, date(2026, 3, 10), date(2026, 3, 20)]
        assert fit.noise_arcmin == anew.noise_arcmin
        np.testing.assert_array_equal(fit.residual_east_arcmin, anew.residual_east_arcmin)


def test_the_polar_records_of_all_mounts_are_those_of_each(sqlite_database: Database) -> None:
    take_in(sqlite_database, "german_one_sync")
    with snapshot_of(sqlite_database) as snapshot:
        (record,) = polar_records(MountFits(snapshot), NOW.date()).values()
        landings = snapshot.all_landings()
    assert record == polar_record(sqlite_database, "Heron", NOW.date())
    assert [setup.key for setup, _ in record.separations] == [s.key for s in landings.setups]


def test_a_mount_that_was_read_before_the_counts_is_read_again(database: Database) -> None:
    """On a server another program's change comes between the two; what is kept then stands for long."""
    take_in(database, "german_one_sync")
    with database.read() as session:
        mount = by_name(session, Mount, "Heron")
        assert mount.mount_type is MountType.GERMAN
        if database.engine.name == "sqlite":
            session.commit()  # there a transaction sees the database as it was when it began
        named_records.edit(database, "mount", "Heron", {"mount_type": MountType.FORK}, NOW)
        assert Snapshot(session).machine_of("Heron")[1].mount_type is MountType.FORK
        assert MountFits(Snapshot(session)).summary("Heron").mount_type is MountType.FORK


def test_what_is_not_on_record_is_refused(sqlite_database: Database) -> None:
    take_in(sqlite_database, "german_one_sync")
    named_records.add(sqlite_database, "mount", "Riddle", {}, NOW)
    with snapshot_of(sqlite_database) as snapshot:
        fits = MountFits(snapshot)
        with pytest.raises(UnknownName, match="Heronn"):
            fits.of("Heronn")
        with pytest.raises(UnknownName, match="Shortest tube"):
            fits.of("Heron", "Shortest tube")
        with pytest.raises(MountTypeUnknown):
            fits.of("Riddle")
        with pytest.raises(NothingPlaced, match="no arrivals with Short tube"):
            fits.of("Heron", "Short tube")
