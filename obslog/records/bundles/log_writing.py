"""What is told is written into the log, once the images that only rows tell are kept."""

import json
from collections.abc import Collection, Iterable, Mapping
from typing import Any, cast

from sqlalchemy import Table, update
from sqlalchemy.orm import Session

from obslog.exchange.bundles.entries import ChangeEntry
from obslog.fields import TextField
from obslog.records.bulk_insert import insert_rows
from obslog.records.bundles.told import Told
from obslog.records.history.batches import packed_images, packed_keys
from obslog.records.history.folding import LogChange
from obslog.records.merging.batch_images import keep_images_of
from obslog.records.merging.kinds import kinds
from obslog.records.merging.log_reading import LogReader
from obslog.records.tables.base import Base
from obslog.records.tables.column_types import key_of, stored_utc
from obslog.records.tables.logbook import Act, Change, ChangeBatch

_SENTENCE = TextField("The sentence of an act", 1000)
_WHO = TextField("The name at an act", 200)


def write_told(session: Session, told: Told, reader: LogReader, without_images: Collection[str]) -> None:
    """Put what is told into the log; of batches in `without_images` the rows tell what was added."""
    _keep_what_rows_tell(reader, told)
    _write_acts(session, told)
    _write_changes(session, told)
    _write_batches(session, told, without_images)
    for batch in told.batches.values():
        reader.forget(batch.id)


def _keep_what_rows_tell(reader: LogReader, told: Told) -> None:
    """Keep the images of records that only their rows tell, where a change that comes in found something else."""
    first: dict[str, dict[str, ChangeEntry]] = {}
    for change in sorted(told.changes.values(), key=lambda one: (one.act_id, one.id), reverse=True):
        if change.before is not None:
            first.setdefault(change.record_kind, {})[change.record_id] = change
    for kind, changes in first.items():
        if kind not in kinds() or all(head.with_images for head in reader.heads(kind)):
            continue
        entries = reader.entries(kind, changes)
        keep_images_of(
            reader, kind, [key for key, of_it in entries.items() if _would_tell(of_it, changes[key])]
        )


def _would_tell(entries: Iterable[LogChange], first: ChangeEntry) -> bool:
    """Whether a change that comes in would tell another beginning of a record than what is known here."""
    earlier = any(one.before is not None and one.act_id < first.act_id for one in entries)
    return not earlier and any(
        one.before is None and one.after is not None and not _agrees(one.after, first.before or {})
        for one in entries
    )


def _agrees(kept: Mapping[str, Any], found: Mapping[str, Any]) -> bool:
    return all(found.get(name, value) == value for name, value in kept.items())


def _write_acts(session: Session, told: Told) -> None:
    columns = ("id", "at_utc", "sentence", "who", "origin", "undoes_id", "extra")
    rows = [
        (
            act.id,
            stored_utc(act.at_utc),
            _SENTENCE.checked(act.sentence),
            _WHO.checked_or_none(act.who),
            act.origin,
            act.undoes_id,
            _json(act.extra),
        )
        for act in sorted(told.acts.values(), key=lambda act: act.id)
    ]
    insert_rows(session, _table(Act), columns, rows)


def _write_changes(session: Session, told: Told) -> None:
    columns = ("id", "act_id", "record_kind", "record_id", "before", "after", "withheld", "extra")
    ordered = sorted(told.changes.values(), key=lambda change: (change.act_id, change.id))
    rows = {
        change.id: (
            change.id,
            change.act_id,
            change.record_kind,
            change.record_id,
            _json(change.before, empty=True),
            _json(change.after, empty=True),
            _json(change.withheld),
            _json(change.extra),
        )
        for change in ordered
    }
    insert_rows(
        session, _table(Change), columns, [row for key, row in rows.items() if key not in told.whole_now]
    )
    for key, row in rows.items():
        if key in told.whole_now:
            values = dict(zip(columns[4:], row[4:], strict=True))
            session.execute(update(Change).where(Change.id == key_of(key)).values(values))


def _write_batches(session: Session, told: Told, without_images: Collection[str]) -> None:
    columns = [column.name for column in _table(ChangeBatch).columns]
    for batch in told.batches.values():
        images = None if batch.id in without_images else packed_images(batch.columns, batch.rows)
        if batch.id in told.whole_now:
            values = {"images": images, "withheld": _json(batch.withheld)}
            session.execute(update(ChangeBatch).where(ChangeBatch.id == key_of(batch.id)).values(values))
            continue
        row = ChangeBatch(
            act_id=key_of(batch.act_id),
            record_kind=batch.kind,
            what=batch.what,
            first_id=key_of(batch.ids[0]),
            last_id=key_of(batch.ids[-1]),
            records=len(batch.ids),
            record_ids=packed_keys(batch.ids),
            images=images,
            withheld=_json(batch.withheld),
            extra=_json(batch.extra),
        )
        row.id = key_of(batch.id)
        told_of = tuple(getattr(row, name) for name in columns)
        insert_rows(session, _table(ChangeBatch), columns, [told_of])


def _json(value: Any, *, empty: bool = False) -> str | None:
    return json.dumps(value) if value or (empty and value is not None) else None


def _table(kind: type[Base]) -> Table:
    return cast(Table, kind.__table__)
