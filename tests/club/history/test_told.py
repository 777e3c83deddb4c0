"""The newest acts, what one did, and the life of a record: who, when, what, from what to what."""

from datetime import datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.history.told import ActHistory, RecordHistory, history_of, newest_acts
from obslog.club.register.named_records import add, edit
from obslog.club.register.undo import undo
from obslog.records.database import Database
from obslog.records.history.author import Author
from obslog.records.history.noted_rows import insert_noted
from obslog.records.opening import open_database
from obslog.records.tables.keys import new_key
from obslog.records.tables.logbook_tables import Member, Mount

DAY = timedelta(days=1)


@pytest.fixture
def kept(new_target: str, now: datetime) -> Database:
    """A mount that was added, changed, renamed; the last taken back. Each day another person typed."""
    people = iter(["Ines", "Bram", None, "Ines"])
    database = open_database(new_target, now, lambda _: None, author=lambda: Author(next(people)))
    add(database, "mount", "Heron", {"note": "new"}, now)
    edit(database, "mount", "Heron", {"note": "sticks"}, now + DAY)
    edit(database, "mount", "Heron", {}, now + 2 * DAY, rename="Egret")
    undo(database, now + 3 * DAY)
    return database


def test_the_newest_acts_come_first(kept: Database, now: datetime) -> None:
    told = newest_acts(kept, 3)
    assert [(line.act, line.who, line.at_utc) for line in told] == [
        ("undo: edit mount Heron", "Ines", now + 3 * DAY),
        ("edit mount Heron", None, now + 2 * DAY),
        ("edit mount Heron", "Bram", now + DAY),
    ]
    assert told[0].undoes == told[1].reference
    assert [line.undone_utc for line in told] == [None, now + 3 * DAY, None]
    kept.close()


def test_the_life_of_a_record_is_told_from_the_beginning(kept: Database) -> None:
    told = history_of(kept, "Heron", 20)
    assert isinstance(told, RecordHistory)
    assert (told.record, told.on_record, told.left_out) == ("mount Heron", True, 0)
    life = [
        (entry.act.who, entry.what, [(f.field, f.before, f.after) for f in entry.fields])
        for entry in told.entries
    ]
    assert life[0][:2] == ("Ines", "added")
    assert ("note", None, "new") in life[0][2]
    assert life[1:] == [
        ("Bram", "changed", [("note", "new", "sticks")]),
        (None, "changed", [("name", "Heron", "Egret")]),
        ("Ines", "changed", [("name", "Egret", "Heron")]),
    ]
    newest = history_of(kept, "Heron", 1)
    assert isinstance(newest, RecordHistory)
    assert (len(newest.entries), newest.left_out) == (1, 3)
    assert newest.entries[0] == told.entries[3]
    kept.close()


def test_an_act_tells_all_that_it_did(database: Database, now: datetime) -> None:
    guests = [{"id": new_key(), "name": f"Guest {n}", "name_key": f"guest {n}"} for n in range(30)]
    with database.write(now, "import members") as session:
        insert_noted(session, Member, guests)
        insert_noted(session, Mount, [_mount("Heron"), _mount("Wren")])
    reference = newest_acts(database, 1)[0].reference
    told = history_of(database, reference, 20)
    assert isinstance(told, ActHistory)
    assert [(change.record, change.records, change.what) for change in told.changes] == [
        ("member", 30, "added"),
        ("mount Heron", 1, "added"),
        ("mount Wren", 1, "added"),
    ]
    assert told.left_out == 0
    fewer = history_of(database, reference, 1)
    assert isinstance(fewer, ActHistory)
    assert (len(fewer.changes), fewer.left_out) == (1, 2)


def _mount(name: str) -> dict[str, object]:
    return {"id": new_key(), "name": name, "name_key": name.lower(), "refraction": False}


def test_a_record_that_is_gone_has_a_history_still(database: Database, now: datetime) -> None:
    add(database, "mount", "Heron", {"note": "new"}, now)
    with database.read() as session:
        key = session.scalars(select(Mount.id)).one()
    undo(database, now)
    told = history_of(database, str(key), 20)
    assert isinstance(told, RecordHistory)
    assert (told.record, told.on_record) == ("mount Heron", False)
    assert [entry.what for entry in told.entries] == ["added", "removed"]
    assert ("note", "new", None) in [(f.field, f.before, f.after) for f in told.entries[1].fields]
