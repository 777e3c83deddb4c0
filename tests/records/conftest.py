"""Records of every kind, put in directly."""

from datetime import date, datetime

import pytest

from obslog.records.base import name_key
from obslog.records.opening import Database
from obslog.records.tables import (
    Act,
    Arrival,
    Attendance,
    Change,
    Eyepiece,
    Item,
    Member,
    Mount,
    Night,
    Observation,
    Service,
    Setup,
    Site,
    SkyReading,
    Snag,
    Tube,
)
from obslog.vocabulary import Role, SkyScale, Step


def named(name: str) -> dict[str, str]:
    return {"name": name, "name_key": name_key(name)}


@pytest.fixture
def full_database(database: Database, now: datetime) -> Database:
    """The database with one record in every table."""
    with database.write(now) as session:
        site, member = Site(**named("Heron Meadow"), zone="Europe/London"), Member(**named("Ada Quill"))
        mount, tube = Mount(**named("Juniper")), Tube(**named("Long Tom"))
        eyepiece, item = Eyepiece(**named("Wide 25")), Item(**named("Lead battery"))
        session.add_all([site, member, mount, tube, eyepiece, item])
        session.flush()
        night = Night(site_id=site.id, night_of=date(2026, 3, 2))
        session.add(night)
        session.flush()
        setup = Setup(night_id=night.id, mount_id=mount.id, tube_id=tube.id, member_id=member.id)
        session.add(setup)
        session.flush()
        act = Act(at_utc=now, sentence="begin")
        session.add_all(
            [
                Arrival(setup_id=setup.id, at_utc=now, role=Role.SYNC, target="Vega"),
                Attendance(night_id=night.id, member_id=member.id),
                SkyReading(night_id=night.id, scale=SkyScale.ANTONIADI, value=2.0),
                Snag(at_utc=now, step=Step.LEVEL, text="a leg sank", setup_id=setup.id),
                Observation(night_id=night.id, at_utc=now, target="M 13"),
                Service(equipment_id=mount.id, done_on=date(2026, 2, 1), text="greased"),
                act,
            ]
        )
        session.flush()
        session.add(Change(act_id=act.id, record_kind="Site", record_id=site.id))
    return database
