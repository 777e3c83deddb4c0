"""What depends on an act: newer acts that wrote the same fields, and records that refer to what it added."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.records.history.acts import not_derived, that_hold
from obslog.records.history.batches import place_in
from obslog.records.history.images import RecordKind, record_kind, record_kinds
from obslog.records.history.rows import by_many, referring
from obslog.records.history.steps import Edited, Step
from obslog.records.tables.column_types import key_of
from obslog.records.tables.keys import is_derived, reference_of
from obslog.records.tables.logbook import Act, Change, ChangeBatch

Touched = dict[str, set[str] | None]


@dataclass(frozen=True, slots=True)
class Later:
    """A newer act: what it was, and its reference."""

    sentence: str
    reference: str


@dataclass(frozen=True, slots=True)
class Hanging:
    """A record that refers to another, and the newest act that wrote it, where that is known."""

    table: str
    key: str
    later: Later | None


def later_act(session: Session, act: Act, steps: Sequence[Step]) -> Later | None:
    """The oldest act after this one, not undone, that wrote a field which this one wrote, or a record it added."""
    newer = (Act.id > act.id, *that_hold(), not_derived())
    if session.scalar(select(Act.id).where(*newer).limit(1)) is None:
        return None
    touched = _touched(steps)
    query = (
        select(Act.id, Act.sentence, Change.record_id, Change.before, Change.after)
        .join(Change, Change.act_id == Act.id)
        .where(*newer)
    )
    found: dict[UUID, str] = {}
    for some in by_many(session, list(touched)):
        for act_id, sentence, record_id, before, after in session.execute(
            query.where(Change.record_id.in_(some))
        ):
            if _meet(touched[str(record_id)], before, after):
                found[act_id] = sentence
    if not found:
        return None
    return Later(found[min(found)], reference_of(min(found)))


def who_refers(session: Session, kind: RecordKind, keys: Sequence[str]) -> Hanging | None:
    """A record that refers to one of these; None where none does."""
    found = referring(session, kind, keys)
    if found is None:
        return None
    table, key = found
    return Hanging(table, key, _newest_of(session, table, key))


def _newest_of(session: Session, table: str, key: str) -> Later | None:
    """The newest act that added or changed a record, and is not undone."""
    changes = (
        select(Act.id, Act.sentence)
        .join(Change, Change.act_id == Act.id)
        .where(Change.record_id == key_of(key), *that_hold())
    )
    found = [(act_id, sentence) for act_id, sentence in session.execute(changes)]
    kinds = [name for name, mapped in record_kinds().items() if table in record_kind(mapped).columns]
    batches = (
        select(Act.id, Act.sentence, ChangeBatch.record_ids)
        .join(ChangeBatch, ChangeBatch.act_id == Act.id)
        .where(
            ChangeBatch.record_kind.in_(kinds),
            ChangeBatch.first_id <= key_of(key),
            ChangeBatch.last_id >= key_of(key),
            *that_hold(),
        )
    )
    for act_id, sentence, packed in session.execute(batches):
        if place_in(packed, key) is not None:
            found.append((act_id, sentence))
    if not found or is_derived(max(found)[0]):
        return None
    act_id, sentence = max(found)
    return Later(sentence, reference_of(act_id))


def _touched(steps: Sequence[Step]) -> Touched:
    """The records of an act, each with the fields that it wrote; None for all of them."""
    touched: Touched = {}
    for step in steps:
        if isinstance(step, Edited):
            fields = touched.setdefault(step.key, set())
            if fields is not None:
                fields.update(step.fields)
        else:
            touched.update(dict.fromkeys(step.keys))
    return touched


def _meet(fields: set[str] | None, before: str | None, after: str | None) -> bool:
    if fields is None or before is None or after is None:
        return True
    was, became = json.loads(before), json.loads(after)
    return any(was.get(name) != became.get(name) for name in fields)
