"""What a set-up starts from: all other set-ups of the mount, kept, and computed anew when one of them changes."""

from datetime import datetime, timedelta

import numpy as np
import pytest
from sqlalchemy import select

from obslog.club.keeping import keep_results, mounts_to_keep
from obslog.club.live import kept_record as module
from obslog.club.live.kept_record import kept_record
from obslog.club.night.arrival_corrections import edit_arrival
from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.nights import start_night
from obslog.club.night.open_night import SetupChoice
from obslog.club.night.setups import start_setup
from obslog.club.performance.snapshot import Snapshot
from obslog.club.register.named_records import edit
from obslog.offsets import read_offset_or_landing
from obslog.pointing.tonight.mount_record import MountRecord, nothing_known
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Mount, Setup
from obslog.vocabulary.arrivals import Role

STARS = ("Capella", "Procyon", "Regulus", "Dubhe", "Alphard", "Pollux")


def a_night(database: Database, begun: datetime, count: int = 6) -> None:
    """A set-up of Heron with a sync and checks a few minutes apart."""
    start_night(database, "Mill Field", begun, present=["Ines"])
    start_setup(database, "Heron", begun, tube="Long tube", observer="Ines")
    for place, star in enumerate(STARS[:count]):
        role = Role.CHECK if place else Role.SYNC
        entry = ArrivalEntry(target=star, where=read_offset_or_landing(f"{place + 1}E {2 * place}N"))
        moment = begun + timedelta(minutes=5 * place + 1)
        record_arrival(database, role, entry, SetupChoice(mount="Heron"), moment, sure=True)


@pytest.fixture
def two_nights(sqlite_club, now):
    a_night(sqlite_club, now - timedelta(days=3))
    a_night(sqlite_club, now - timedelta(hours=1), 3)
    return sqlite_club


def record(database: Database, *, setup_of_newest: bool = True) -> MountRecord:
    with database.read() as session:
        snapshot = Snapshot(session)
        mount = session.scalar(select(Mount).where(Mount.name == "Heron"))
        newest = session.scalars(select(Setup).order_by(Setup.id.desc())).first()
        assert mount is not None
        assert newest is not None
        return kept_record(snapshot, mount.id, newest.tube_id, newest.id if setup_of_newest else None)


def test_the_set_up_itself_is_left_out(two_nights):
    assert record(two_nights).setups == 1
    assert record(two_nights, setup_of_newest=False).setups == 2


def test_it_is_computed_once_and_arrivals_of_the_set_up_do_not_change_that(two_nights, now, monkeypatch):
    first = record(two_nights)
    monkeypatch.setattr(module, "_record", lambda *_: pytest.fail("computed again"))
    entry = ArrivalEntry(target="Alhena", where=read_offset_or_landing("9E"))
    record_arrival(two_nights, Role.CHECK, entry, SetupChoice(mount="Heron"), now, sure=True)
    again = record(two_nights)
    np.testing.assert_array_equal(again.mechanical_covariance, first.mechanical_covariance)


def test_a_correction_of_an_earlier_night_is_heard(two_nights, now):
    first = record(two_nights)
    earlier = SetupChoice(mount="Heron", night=(now - timedelta(days=3)).date())
    edit_arrival(two_nights, 3, ArrivalEntry(where=read_offset_or_landing("30E")), earlier, now, sure=True)
    assert record(two_nights).wrong_share != first.wrong_share


def test_another_star_of_as_long_a_name_is_heard(two_nights, now):
    before = record(two_nights)
    earlier = SetupChoice(mount="Heron", night=(now - timedelta(days=3)).date())
    edit_arrival(two_nights, 3, ArrivalEntry(target="Procyon"), earlier, now, sure=True)  # it was Regulus
    assert not np.array_equal(record(two_nights).mechanical_mean, before.mechanical_mean)


def test_a_site_that_lay_elsewhere_is_heard(two_nights, now):
    before = record(two_nights)
    edit(two_nights, "site", "Mill Field", {"lat_deg": 40.0}, now, sure=True)
    assert not np.array_equal(record(two_nights).mechanical_mean, before.mechanical_mean)


def test_a_mount_without_other_set_ups_starts_from_errors_of_the_usual_size(evening):
    usual = nothing_known()
    found = record(evening)
    assert found.setups == 0
    np.testing.assert_array_equal(found.mechanical_covariance, usual.mechanical_covariance)


def test_computed_ahead_it_is_there_for_the_next_set_up(sqlite_club, now, monkeypatch):
    a_night(sqlite_club, now - timedelta(days=3))
    for _ in keep_results(sqlite_club, mounts_to_keep(sqlite_club)):
        pass
    monkeypatch.setattr(module, "_record", lambda *_: pytest.fail("computed in the dark"))
    a_night(sqlite_club, now - timedelta(hours=1), 2)
    assert record(sqlite_club).setups == 1
