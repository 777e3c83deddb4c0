"""What the history tells: when a record came, what became of it, and what the newest acts were."""

import json
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.records.history.acts import not_derived
from obslog.records.history.batches import place_in, unpacked_images, unpacked_keys
from obslog.records.history.folding import LogChange, fold
from obslog.records.history.images import Image, record_kind, record_kinds
from obslog.records.history.rows import images_now
from obslog.records.tables.column_types import key_of
from obslog.records.tables.logbook import Act, Change, ChangeBatch


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A record in one act: `before` is None where it was added, `after` where it was removed.

    `after` is None as well where a record came with many others and nothing tells any more what it was.
    """

    act: Act
    id: UUID
    record_kind: str
    record_id: UUID
    added: bool
    removed: bool
    before: Image | None
    after: Image | None


def first_added(session: Session, kinds: Collection[str]) -> dict[UUID, datetime]:
    """When the act of adding each record of these kinds was written down; not of what was there before any history."""
    alone = (
        select(Change.record_id, func.min(Act.at_utc))
        .join(Act, Change.act_id == Act.id)
        .where(Change.record_kind.in_(kinds), Change.before.is_(None), not_derived())
        .group_by(Change.record_id)
    )
    found = {row[0]: row[1] for row in session.execute(alone)}
    among = (
        select(ChangeBatch.record_ids, Act.at_utc)
        .join(Act, ChangeBatch.act_id == Act.id)
        .where(ChangeBatch.record_kind.in_(kinds), ChangeBatch.what == "added", not_derived())
    )
    for packed, at_utc in session.execute(among):
        for text in unpacked_keys(packed):
            key = key_of(text)
            found[key] = min(found.get(key, at_utc), at_utc)
    return found


def entries_of(session: Session, kind: str, record_id: UUID) -> list[Entry]:
    """All that the history says of one record, the oldest first."""
    query = (
        select(Act, Change)
        .join(Change, Change.act_id == Act.id)
        .where(Change.record_kind == kind, Change.record_id == record_id)
    )
    found = [_of_change(act, change) for act, change in session.execute(query)]
    found += list(_among_many(session, kind, record_id))
    found.sort(key=lambda entry: (entry.act.id, entry.id))
    return _with_first_images(session, kind, record_id, found)


def said(session: Session, kind: str, record_id: UUID, joined_by: Collection[str]) -> Image:
    """What a record is by all that the history says of it; its row may stand otherwise, or be gone by these acts."""
    return _folded(entries_of(session, kind, record_id), joined_by)


def said_before(session: Session, kind: str, record_id: UUID, act_id: UUID) -> Image:
    """What a record was by all that the history says of it up to an act; its row may have stood otherwise."""
    return _folded([entry for entry in entries_of(session, kind, record_id) if entry.act.id < act_id])


def _folded(entries: Iterable[Entry], joined_by: Collection[str] = ()) -> Image:
    changes = [
        LogChange(
            act_id=str(entry.act.id),
            change_id=str(entry.id),
            record_kind=entry.record_kind,
            record_id=str(entry.record_id),
            before=entry.before,
            after=entry.after,
        )
        for entry in entries
        if entry.before is not None or entry.after is not None
    ]
    return fold(changes, joined_by=joined_by).fields if changes else {}


def _of_change(act: Act, change: Change) -> Entry:
    return Entry(
        act=act,
        id=change.id,
        record_kind=change.record_kind,
        record_id=change.record_id,
        added=change.before is None,
        removed=change.after is None,
        before=None if change.before is None else json.loads(change.before),
        after=None if change.after is None else json.loads(change.after),
    )


def _among_many(session: Session, kind: str, record_id: UUID) -> Iterator[Entry]:
    query = (
        select(Act, ChangeBatch)
        .join(ChangeBatch, ChangeBatch.act_id == Act.id)
        .where(
            ChangeBatch.record_kind == kind,
            ChangeBatch.first_id <= record_id,
            ChangeBatch.last_id >= record_id,
        )
    )
    for act, batch in session.execute(query):
        place = place_in(batch.record_ids, str(record_id))
        if place is None:
            continue
        image = None if batch.images is None else _image_at(batch.images, place)
        added = batch.what == "added"
        yield Entry(
            act=act,
            id=batch.id,
            record_kind=kind,
            record_id=record_id,
            added=added,
            removed=not added,
            before=None if added else image,
            after=image if added else None,
        )


def _image_at(packed: bytes, place: int) -> dict[str, Any]:
    names, rows = unpacked_images(packed)
    return dict(zip(names, rows[place], strict=True))


def _with_first_images(session: Session, kind: str, record_id: UUID, found: list[Entry]) -> list[Entry]:
    """What a record was when it came with many: as the next entry found it, or as it stands."""
    told: list[Entry] = []
    mapped = record_kinds().get(kind)
    following: Mapping[str, Any] | None = None
    if mapped is not None:
        following = images_now(session, record_kind(mapped), [str(record_id)]).get(str(record_id))
    for entry in reversed(found):
        if entry.added and entry.after is None:
            entry = Entry(
                act=entry.act,
                id=entry.id,
                record_kind=kind,
                record_id=record_id,
                added=True,
                removed=False,
                before=None,
                after=following,
            )
        told.append(entry)
        following = entry.before
    return told[::-1]
