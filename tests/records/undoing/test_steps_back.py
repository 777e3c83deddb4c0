"""The steps of an act are taken back as a whole or not at all."""

from datetime import datetime

import pytest
from sqlalchemy import select

from obslog.club.register import named_records
from obslog.club.register.undo import undo
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Member, Night, Site
from obslog.records.undoing.undo_errors import CannotUndo


def members(database: Database) -> list[str]:
    return [member["name"] for member in named_records.listed(database, "member")]


def test_an_act_of_several_changes_is_taken_back_as_a_whole(club: Database, now: datetime) -> None:
    with club.write(now, "begin the season") as session:
        site = session.scalars(select(Site).where(Site.name == "Mill Field")).one()
        night = Night(site_id=site.id, night_of=now.date())
        session.add(night)
        session.flush()
        night.note = "first"
        session.flush()
        night.note = "second"
        site.note = "mown"
        session.add(Member(name="Cleo Marsh", name_key="cleo marsh"))
    assert undo(club, now) == "begin the season"
    with club.read() as session:
        assert session.scalars(select(Night)).all() == []
    assert members(club) == ["Bram Ostler", "Ines"]
    assert named_records.shown(club, "site", "Mill Field")["note"] is None


def test_what_something_newer_hangs_on_cannot_be_undone(database: Database, now: datetime) -> None:
    named_records.add(database, "site", "Mill Field", {"zone": "Europe/London"}, now)
    with database.write(now) as session:  # as when a sheet came in from another laptop
        site = session.scalars(select(Site)).one()
        session.add(Night(site_id=site.id, night_of=now.date()))
    with pytest.raises(CannotUndo, match="something newer depends on it"):
        undo(database, now)
    assert named_records.shown(database, "site", "Mill Field")["zone"] == "Europe/London"
