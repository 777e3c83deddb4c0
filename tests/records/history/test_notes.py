"""What was noted is written down in the order in which it happened."""

import json
from datetime import datetime

import pytest
from sqlalchemy import select

from obslog.records.database import Database
from obslog.records.history.notes import Notes
from obslog.records.history.recorder import write_act
from obslog.records.tables.keys import new_key
from obslog.records.tables.logbook_tables import Change, ChangeBatch

KEYS = sorted(str(new_key()) for _ in range(3))


def test_single_changes_and_many_records_are_in_the_order_of_their_keys(
    database: Database, now: datetime
) -> None:
    notes = Notes()
    assert not notes
    notes.changed("Site", KEYS[0], None, {"id": KEYS[0]})
    notes.added("Night", KEYS[::-1])
    notes.changed("Site", KEYS[0], {"id": KEYS[0]}, {"id": KEYS[0], "note": "wet"})
    notes.removed("Night", ["note", "id"], [("b", KEYS[1]), ("a", KEYS[0])])
    assert notes
    with database.write(now) as session:
        act_id = write_act(session, "much", now)
        notes.write(session, act_id)
    with database.read() as session:
        changes = session.scalars(select(Change).order_by(Change.id)).all()
        added, removed = session.scalars(select(ChangeBatch).order_by(ChangeBatch.id)).all()
        assert {change.act_id for change in changes} == {added.act_id, removed.act_id} == {act_id}
        assert changes[0].id < added.id < changes[1].id < removed.id
        assert [json.loads(c.after or "") for c in changes] == [
            {"id": KEYS[0]},
            {"id": KEYS[0], "note": "wet"},
        ]
        assert (added.what, added.records, str(added.first_id), str(added.last_id)) == (
            "added", 3, KEYS[0], KEYS[2],
        )  # fmt: skip
        assert added.images is None
        assert (removed.what, removed.records, str(removed.last_id)) == ("removed", 2, KEYS[1])


def test_nothing_is_no_entry() -> None:
    notes = Notes()
    notes.added("Night", [])
    notes.removed("Night", ["id"], [])
    assert not notes


def test_what_was_there_before_can_be_forgotten(database: Database, now: datetime) -> None:
    notes = Notes()
    notes.changed("Member", KEYS[0], {"id": KEYS[0], "name": "Ines"}, {"id": KEYS[0], "name": "Nobody"})
    notes.changed("Member", KEYS[1], None, {"id": KEYS[1], "name": "Ines"})
    notes.forget(lambda _kind, _key, image: {"id": image["id"]})
    with database.write(now) as session:
        notes.write(session, write_act(session, "forget", now))
    with database.read() as session:
        told = [(c.before, c.after) for c in session.scalars(select(Change).order_by(Change.id))]
    assert [before and json.loads(before) for before, _ in told] == [{"id": KEYS[0]}, None]
    assert [json.loads(after or "")["name"] for _, after in told] == ["Nobody", "Ines"]


@pytest.mark.parametrize("count", [1, 5000])
def test_any_number_of_keys_is_one_entry(database: Database, now: datetime, count: int) -> None:
    notes = Notes()
    notes.added("Arrival", [str(new_key()) for _ in range(count)])
    with database.write(now) as session:
        notes.write(session, write_act(session, "import", now))
    with database.read() as session:
        batch = session.scalars(select(ChangeBatch)).one()
        assert (batch.records, len(batch.record_ids)) == (count, 16 * count)
