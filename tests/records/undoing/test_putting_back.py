"""What was removed is on record again as it was."""

from datetime import datetime

from sqlalchemy import select

from obslog.club.register import named_records
from obslog.club.register.undo import undo
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Mount


def test_undo_brings_a_removed_record_back(club: Database, now: datetime) -> None:
    before = named_records.shown(club, "mount", "Heron")
    with club.write(now, "throw Heron away") as session:
        session.delete(session.scalars(select(Mount).where(Mount.name == "Heron")).one())
    assert "Heron" not in [mount["name"] for mount in named_records.listed(club, "mount")]
    undo(club, now)
    assert named_records.shown(club, "mount", "Heron") == before
