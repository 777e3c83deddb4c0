"""What an act did, step by step, as the history has it: records added, removed and changed."""

import json
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.records.history.batches import unpacked_images, unpacked_keys
from obslog.records.history.images import Image, RecordKind, record_kind, record_kinds
from obslog.records.tables.logbook import Change, ChangeBatch


@dataclass(frozen=True, slots=True)
class Added:
    """Records of one kind that were added, by their keys."""

    kind: RecordKind
    keys: list[str]


@dataclass(frozen=True, slots=True)
class Removed:
    """Records of one kind that were removed, each as it was, by the names of its fields."""

    kind: RecordKind
    names: tuple[str, ...]
    rows: list[tuple[Any, ...]]

    @property
    def whole(self) -> bool:
        """Whether it is kept what the records were."""
        return len(self.names) > 1

    @property
    def keys(self) -> list[str]:
        place = self.names.index("id")
        return [str(row[place]) for row in self.rows]


@dataclass(frozen=True, slots=True)
class Edited:
    """A record that was changed; `fields` are those that differ."""

    kind: RecordKind
    key: str
    before: Image
    after: Image

    @property
    def fields(self) -> list[str]:
        return [
            name
            for name in self.kind.types
            if name in self.after and (name not in self.before or self.before[name] != self.after[name])
        ]

    @property
    def whole(self) -> bool:
        """Whether it is kept what the record was."""
        return self.after.keys() <= self.before.keys()


Step = Added | Removed | Edited


def steps_of(session: Session, act_id: UUID) -> list[Step]:
    """The steps of an act in their order; of records that were added or removed one after another it is one step."""
    entries: list[Any] = [
        *session.scalars(select(Change).where(Change.act_id == act_id)),
        *session.scalars(select(ChangeBatch).where(ChangeBatch.act_id == act_id)),
    ]
    steps: list[Step] = []
    for entry in sorted(entries, key=lambda entry: entry.id):
        step = _of_batch(entry) if isinstance(entry, ChangeBatch) else _of_change(entry)
        if not (steps and _joined(steps[-1], step)):
            steps.append(step)
    return steps


def _of_change(change: Change) -> Step:
    kind = record_kind(record_kinds()[change.record_kind])
    before = None if change.before is None else json.loads(change.before)
    after = None if change.after is None else json.loads(change.after)
    if before is None:
        return Added(kind, [str(change.record_id)])
    if after is None:
        return Removed(kind, tuple(before), [tuple(before.values())])
    return Edited(kind, str(change.record_id), before, after)


def _of_batch(batch: ChangeBatch) -> Step:
    kind = record_kind(record_kinds()[batch.record_kind])
    if batch.what == "added":
        return Added(kind, unpacked_keys(batch.record_ids))
    names, rows = unpacked_images(batch.images or b"")
    return Removed(kind, tuple(names), [tuple(row) for row in rows])


def _joined(last: Step, step: Step) -> bool:
    """Put a step into the one before it where both did the same with records of one kind."""
    if isinstance(last, Added) and isinstance(step, Added) and last.kind is step.kind:
        last.keys.extend(step.keys)
        return True
    if not (isinstance(last, Removed) and isinstance(step, Removed)):
        return False
    if last.kind is not step.kind or last.names != step.names:
        return False
    last.rows.extend(step.rows)
    return True
