"""The entries of a record, those in which it is one of many included."""

from sqlalchemy import Text, cast, delete, select
from sqlalchemy.orm import Session

from obslog.records.database import Database
from obslog.records.history.noted_rows import insert_noted
from obslog.records.merging.batch_images import keep_images_of
from obslog.records.merging.kinds import kinds
from obslog.records.merging.log_reading import LogReader
from obslog.records.merging.row_images import rows_of
from obslog.records.tables.keys import new_key
from obslog.records.tables.logbook import ChangeBatch
from obslog.records.tables.logbook_tables import Member
from tests.records.merging.laptops import BEGUN


def put_many(database: Database, count: int) -> list[str]:
    """So many members by one act, in one entry."""
    with database.write(BEGUN, "bring many in") as session:
        records = [
            {"id": new_key(), "name": f"M{n}", "name_key": f"m{n}", "note": None} for n in range(count)
        ]
        insert_noted(session, Member, records)
    return [str(record["id"]) for record in records]


def reader(session: Session) -> LogReader:
    return LogReader(session=session, rows_now=lambda kind, ids: rows_of(session, kinds()[kind], ids))


def test_one_of_many_is_told_by_its_row_until_something_changed_it(database: Database) -> None:
    ids = put_many(database, 40)
    with database.read() as session:
        (entry,) = reader(session).entries("Member", ids[7:8])[ids[7]]
        assert entry.before is None
        assert entry.after is not None
        assert entry.after["name"] == "M7"
        assert reader(session).entries("Member", [str(new_key())]) == {}
    with database.write(BEGUN, "change it") as session:
        session.get_one(
            Member, session.scalars(select(Member.id).where(Member.name == "M7")).one()
        ).note = "tall"
    with database.read() as session:
        added, changed = reader(session).entries("Member", ids[7:8])[ids[7]]
    if added.before is not None:
        added, changed = changed, added
    assert added.after is not None
    assert changed.after is not None
    assert (added.after["note"], changed.after["note"]) == (None, "tall")


def test_images_that_were_kept_are_told_though_the_rows_are_gone(database: Database) -> None:
    ids = put_many(database, 40)
    with database.write(BEGUN) as session:
        keep_images_of(reader(session), "Member", ids[:1])
        session.execute(delete(Member))
    with database.read() as session:
        (entry,) = reader(session).entries("Member", ids[3:4])[ids[3]]
        assert entry.after is not None
        assert entry.after["name"] == "M3"
        (batch,) = session.scalars(select(cast(ChangeBatch.id, Text))).all()
        assert entry.change_id == batch
