"""The steps of an act are taken back as a whole or not at all, and what was changed since is not written over."""

from datetime import datetime

import pytest
from sqlalchemy import select, update

from obslog.club.register import named_records
from obslog.club.register.undo import undo
from obslog.club.storeroom import retirement
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Member, Mount, Night, Site
from obslog.records.undoing.undo_errors import CannotUndo
from obslog.vocabulary.mounts import MountType


def members(database: Database) -> list[str]:
    return [member["name"] for member in named_records.listed(database, "member")]


def test_undo_gives_an_edited_record_its_old_values_back(club: Database, now: datetime) -> None:
    before = named_records.shown(club, "site", "Mill Field")
    changes = {"lat_deg": 51.0, "elevation_m": None, "note": "wet", "zone": "Europe/Paris"}
    named_records.edit(club, "site", "Mill Field", changes, now, rename="Otter Meadow")
    undo(club, now)
    assert named_records.shown(club, "site", "Mill Field") == before


def test_undo_gives_words_flags_and_dates_back(club: Database, now: datetime) -> None:
    before = named_records.shown(club, "mount", "Heron")
    named_records.edit(club, "mount", "Heron", {"mount_type": MountType.FORK, "refraction": True}, now)
    retirement.retire(club, "mount", "Heron", "worn out", now.date(), now)
    undo(club, now)
    undo(club, now)
    assert named_records.shown(club, "mount", "Heron") == before


def test_undo_brings_a_removed_record_back(club: Database, now: datetime) -> None:
    before = named_records.shown(club, "mount", "Heron")
    with club.write(now, "throw Heron away") as session:
        session.delete(session.scalars(select(Mount).where(Mount.name == "Heron")).one())
    assert "Heron" not in [mount["name"] for mount in named_records.listed(club, "mount")]
    undo(club, now)
    assert named_records.shown(club, "mount", "Heron") == before


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


def test_an_old_name_that_was_given_away_since_cannot_be_taken_back(
    database: Database, now: datetime
) -> None:
    named_records.add(database, "member", "Ines", {}, now)
    named_records.edit(database, "member", "Ines", {}, now, rename="Inez")
    with database.write(now) as session:
        session.add(Member(name="Ines", name_key="ines"))
    with pytest.raises(CannotUndo):
        undo(database, now)
    assert members(database) == ["Ines", "Inez"]


def test_what_was_changed_past_the_history_is_not_written_over(club: Database, now: datetime) -> None:
    named_records.edit(club, "member", "Ines", {"note": "tall"}, now)
    with club.write(now) as session:
        session.execute(update(Member).where(Member.name == "Ines").values(note="by hand"))
    with pytest.raises(CannotUndo, match="its note has been changed since"):
        undo(club, now)
    assert named_records.shown(club, "member", "Ines")["note"] == "by hand"
