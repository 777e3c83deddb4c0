"""The newest acts, what one of them did, and the life of a record: who, when, what, and from what to what."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.history.field_words import FieldChange, FieldReader, kind_words
from obslog.club.history.which_record import Meant, what_is_meant
from obslog.records.database import Database
from obslog.records.history.images import Image, RecordKind, record_kind, record_kinds
from obslog.records.history.reading import Entry, entries_of
from obslog.records.history.rows import images_now
from obslog.records.history.steps import Added, Edited, Removed, Step, steps_of
from obslog.records.tables.keys import reference_of
from obslog.records.tables.logbook import Act

MANY = 20  # records of one kind that came or went in one act: from here on they are counted


@dataclass(frozen=True, slots=True, kw_only=True)
class ActLine:
    """An act. `undone_utc` is None for one that holds; `undoes` is the reference of the act that it took back."""

    reference: str
    at_utc: datetime
    who: str | None
    origin: str | None
    act: str
    undone_utc: datetime | None
    undoes: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordChange:
    """What an act did to one record, or to `records` of one kind: `added`, `changed` or `removed` it.

    It `kept` one of which it said that what stands is right.
    """

    record: str
    reference: str | None
    records: int
    what: str
    fields: Sequence[FieldChange]


@dataclass(frozen=True, slots=True, kw_only=True)
class ActHistory:
    """All that an act did; `left_out` are changes of more records than were asked for."""

    act: ActLine
    changes: Sequence[RecordChange]
    left_out: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LifeEntry:
    """One act in the life of a record."""

    act: ActLine
    what: str
    fields: Sequence[FieldChange]


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordHistory:
    """The life of a record, the oldest act first; of more acts than were asked for the newest."""

    record: str
    reference: str
    on_record: bool
    entries: Sequence[LifeEntry]
    left_out: int


def newest_acts(database: Database, most: int) -> list[ActLine]:
    """The newest acts, the newest first."""
    with database.read() as session:
        acts = session.scalars(select(Act).order_by(Act.id.desc()).limit(most))
        return [_line(act) for act in acts]


def history_of(database: Database, what: str, most: int) -> ActHistory | RecordHistory:
    """What the act of that reference did, or the life of the record of that name or reference.

    Raises NoSuchRecord, WhichRecord.
    """
    with database.read() as session:
        meant = what_is_meant(session, what)
        if isinstance(meant, Act):
            return _act_history(session, meant, most)
        return _record_history(session, meant, most)


def _act_history(session: Session, act: Act, most: int) -> ActHistory:
    reader = FieldReader(session)
    steps = _with_edits_as_one(steps_of(session, act.id))
    changes = [change for step in steps for change in _of_step(session, reader, step)]
    return ActHistory(act=_line(act), changes=changes[:most], left_out=max(len(changes) - most, 0))


def _with_edits_as_one(steps: Sequence[Step]) -> list[Step]:
    """What was done to one record in several steps, one after the other, as one step."""
    told: list[Step] = []
    for step in steps:
        last = told[-1] if told else None
        if isinstance(step, Edited) and isinstance(last, Edited) and step.key == last.key:
            told[-1] = replace(last, after=step.after)
        else:
            told.append(step)
    return told


def _of_step(session: Session, reader: FieldReader, step: Step) -> Iterator[RecordChange]:
    if isinstance(step, Edited):
        yield _one(reader, step.kind, step.key, step.before, step.after)
        return
    if len(step.keys) > MANY:
        yield RecordChange(
            record=kind_words(step.kind.name),
            reference=None,
            records=len(step.keys),
            what="added" if isinstance(step, Added) else "removed",
            fields=[],
        )
        return
    for key, image in _images(session, step):
        gone = isinstance(step, Removed)
        yield _one(reader, step.kind, key, image if gone else None, None if gone else image)


def _images(session: Session, step: Added | Removed) -> Iterator[tuple[str, Image]]:
    if isinstance(step, Removed):
        for row in step.rows:
            image = dict(zip(step.names, row, strict=True))
            yield str(image["id"]), image
        return
    now = images_now(session, step.kind, step.keys)
    for key in step.keys:
        added = [entry for entry in entries_of(session, step.kind.name, UUID(key)) if entry.added]
        yield key, (added[0].after if added else None) or now.get(key) or {"id": key}


def _one(
    reader: FieldReader, kind: RecordKind, key: str, before: Image | None, after: Image | None
) -> RecordChange:
    return RecordChange(
        record=reader.title(kind.name, before or after, UUID(key)),
        reference=reference_of(UUID(key)),
        records=1,
        what=_did(before is None, after is None, before == after),
        fields=reader.changes(kind, before, after),
    )


def _record_history(session: Session, meant: Meant, most: int) -> RecordHistory:
    kind = record_kind(record_kinds()[meant.kind])
    entries = _by_act(entries_of(session, meant.kind, meant.key))
    reader = FieldReader(session)
    images = [image for entry in entries for image in (entry.before, entry.after) if image]
    now = images_now(session, kind, [str(meant.key)]).get(str(meant.key))
    shown = entries[-most:]
    return RecordHistory(
        record=reader.title(meant.kind, now or (images[-1] if images else None), meant.key),
        reference=reference_of(meant.key),
        on_record=now is not None,
        entries=[
            LifeEntry(
                act=_line(entry.act),
                what=_did(entry.added, entry.removed, entry.before == entry.after),
                fields=_fields(reader, kind, entry),
            )
            for entry in shown
        ],
        left_out=len(entries) - len(shown),
    )


def _by_act(entries: Sequence[Entry]) -> list[Entry]:
    """What one act did in several steps as one entry: a record that was added and then filled in was added so."""
    told: list[Entry] = []
    for entry in entries:
        edits = not entry.added and not entry.removed
        if edits and told and told[-1].act.id == entry.act.id and not told[-1].removed:
            told[-1] = replace(told[-1], after=entry.after)
        else:
            told.append(entry)
    return told


def _fields(reader: FieldReader, kind: RecordKind, entry: Entry) -> list[FieldChange]:
    return reader.changes(kind, entry.before, entry.after)


def _did(added: bool, removed: bool, same: bool) -> str:
    return "added" if added else "removed" if removed else "kept" if same else "changed"


def _line(act: Act) -> ActLine:
    return ActLine(
        reference=reference_of(act.id),
        at_utc=act.at_utc,
        who=act.who,
        origin=None if act.origin is None else reference_of(act.origin),
        act=act.sentence,
        undone_utc=act.undone_utc,
        undoes=None if act.undoes_id is None else reference_of(act.undoes_id),
    )
