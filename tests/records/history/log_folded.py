"""What the record of acts says is on record: a small reader of its own, to be held against the rows."""

import json
import zlib
from collections.abc import Container
from typing import Any
from uuid import UUID

from sqlalchemy import select

from obslog.records.database import Database
from obslog.records.history.images import record_kind, record_kinds
from obslog.records.history.rows import images_now
from obslog.records.tables.logbook_tables import Act, Change, ChangeBatch

NO_RECORDS = {"Act", "Change", "ChangeBatch", "Equipment"}
Known = dict[tuple[str, str], dict[str, Any] | None]


def folded(database: Database) -> Known:
    """Every record that is there by the record of acts; None for one of which it holds no image."""
    with database.read() as session:
        entries: list[tuple[UUID, UUID, Any]] = [
            *((change.act_id, change.id, change) for change in session.scalars(select(Change))),
            *((batch.act_id, batch.id, batch) for batch in session.scalars(select(ChangeBatch))),
        ]
        acts = set(session.scalars(select(Act.id)))
    known: Known = {}
    for act_id, _, entry in sorted(entries, key=lambda entry: entry[:2]):
        assert act_id in acts
        if isinstance(entry, Change):
            _take(known, entry)
        else:
            _take_many(known, entry)
    return known


def on_record(database: Database) -> Known:
    """Every record that is there by the rows."""
    known: Known = {}
    with database.read() as session:
        for name, mapped in record_kinds().items():
            if name not in NO_RECORDS:
                keys = [str(key) for key in session.scalars(select(mapped.id))]
                found = images_now(session, record_kind(mapped), keys)
                known |= {(name, key): image for key, image in found.items()}
    return known


def assert_told(database: Database, but: Container[tuple[str, str]] = (), gone: Container[str] = ()) -> None:
    """The record of acts says of every record what its row says, and of no others.

    `but` are kinds and columns that a downgrade has taken out of the rows, and `gone` kinds of which it has taken away
    all rows; of both the log still tells.
    """
    told, there = folded(database), on_record(database)
    told = {key: image for key, image in told.items() if key[0] not in gone}
    assert told.keys() == there.keys()
    for key, image in told.items():
        row = there[key]
        if image is not None and row is not None:
            said = {name: value for name, value in image.items() if name != "search_text"}
            said |= {name: value for name, value in row.items() if (key[0], name) in but}
            assert {**dict.fromkeys(row), **said} == row, key


def _take(known: Known, change: Change) -> None:
    key = (change.record_kind, str(change.record_id))
    before = None if change.before is None else json.loads(change.before)
    assert (key in known) is (before is not None), (key, "added twice, or changed before it was added")
    had = known.pop(key, None)
    if change.after is None:
        return
    after = json.loads(change.after)
    if (
        had is not None and before is not None and len(before) > 1
    ):  # of a person who left only the key is kept
        written = {name for name in after if before.get(name) != after[name]}
        after = {**had, **{name: after[name] for name in written}}
    known[key] = after


def _take_many(known: Known, batch: ChangeBatch) -> None:
    keys = [str(UUID(bytes=batch.record_ids[at : at + 16])) for at in range(0, len(batch.record_ids), 16)]
    assert keys == sorted(keys)
    assert (keys[0], keys[-1], len(keys)) == (str(batch.first_id), str(batch.last_id), batch.records)
    images: dict[str, Any] = {}
    if batch.images is not None:
        names, rows = json.loads(zlib.decompress(batch.images))
        images = {row[names.index("id")]: dict(zip(names, row, strict=True)) for row in rows}
        assert list(images) == keys
    for key in keys:
        record = (batch.record_kind, key)
        assert (record in known) is (batch.what == "removed")
        if batch.what == "added":
            known[record] = images.get(key)
        else:
            known.pop(record)
