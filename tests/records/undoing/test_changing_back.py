"""What was changed has its old values again, and what was changed since is not written over."""

from datetime import datetime

import pytest
from sqlalchemy import update

from obslog.club.register import named_records
from obslog.club.register.undo import undo
from obslog.club.storeroom import retirement
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Member
from obslog.records.undoing.undo_errors import CannotUndo
from obslog.vocabulary.mounts import MountType


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


def test_what_was_changed_past_the_history_is_not_written_over(club: Database, now: datetime) -> None:
    named_records.edit(club, "member", "Ines", {"note": "tall"}, now)
    with club.write(now) as session:
        session.execute(update(Member).where(Member.name == "Ines").values(note="by hand"))
    with pytest.raises(CannotUndo, match="its note has been changed since"):
        undo(club, now)
    assert named_records.shown(club, "member", "Ines")["note"] == "by hand"
