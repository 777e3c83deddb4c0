"""What is in the way of what would come back is not pushed aside."""

from datetime import datetime

import pytest

from obslog.club.register import named_records
from obslog.club.register.undo import undo
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Member
from obslog.records.undoing.undo_errors import CannotUndo


def members(database: Database) -> list[str]:
    return [member["name"] for member in named_records.listed(database, "member")]


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
