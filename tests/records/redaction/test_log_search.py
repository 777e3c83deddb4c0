"""The record of acts knows all that a record ever was."""

from datetime import datetime

from obslog.club.register.named_records import add, edit
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.redaction.log_search import earlier_values
from obslog.records.tables.logbook_tables import Mount


def test_all_that_a_column_ever_held_is_known_from_the_record_of_acts(
    database: Database, now: datetime
) -> None:
    add(database, "mount", "Heron", {"note": "new"}, now)
    edit(database, "mount", "Heron", {"note": "sticks"}, now)
    edit(database, "mount", "Heron", {}, now, rename="Egret")
    with database.read() as session:
        key = by_name(session, Mount, "Egret").id
        assert earlier_values(session, key, "name") == {"Heron", "Egret"}
        assert earlier_values(session, key, "note") == {"new", "sticks"}
        assert earlier_values(session, key, "weight_kg") == set()
