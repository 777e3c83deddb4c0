"""What the log says of some records: their entries, those among many records in one entry included."""

import json
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Text, bindparam, cast, select
from sqlalchemy.orm import Session

from obslog.records.history.batches import place_in, unpacked_images
from obslog.records.history.folding import LogChange
from obslog.records.merging.row_images import Row, by_many
from obslog.records.tables.column_types import key_of
from obslog.records.tables.logbook import Change, ChangeBatch

_CHANGES = select(
    cast(Change.id, Text),
    cast(Change.act_id, Text),
    cast(Change.record_id, Text),
    Change.before,
    Change.after,
).where(
    Change.record_kind == bindparam("kind"),
    Change.record_id.in_(bindparam("ids", expanding=True)),
)
_HEADS = select(
    ChangeBatch.record_kind,
    cast(ChangeBatch.id, Text),
    cast(ChangeBatch.act_id, Text),
    ChangeBatch.what,
    cast(ChangeBatch.first_id, Text),
    cast(ChangeBatch.last_id, Text),
    ChangeBatch.images.is_not(None),
)
RowsNow = Callable[[str, Collection[str]], Mapping[str, Row]]


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchHead:
    """An entry of many records without these."""

    id: str
    act_id: str
    what: str
    first_id: str
    last_id: str
    with_images: bool


@dataclass(slots=True, kw_only=True)
class LogReader:
    """Reads entries in one session; what it has read of batches it keeps.

    `rows_now` gives rows as they stand: of a record that came with many and never changed nothing else is kept.
    """

    session: Session
    rows_now: RowsNow
    _heads: dict[str, list[BatchHead]] | None = None
    _keys: dict[str, bytes] = field(default_factory=dict)
    _images: dict[str, tuple[list[str], list[list[Any]]]] = field(default_factory=dict)

    def entries(self, kind: str, ids: Collection[str]) -> dict[str, list[LogChange]]:
        """Every entry of each record; a record without any is not among them."""
        found = self._changes(kind, ids)
        bare: dict[str, list[BatchHead]] = {}
        for head in self.heads(kind):
            for record_id in ids:
                if not head.first_id <= record_id <= head.last_id:
                    continue
                place = place_in(self.keys(head.id), record_id)
                if place is None:
                    continue
                if head.with_images:
                    image = self._image(head.id, place)
                    found.setdefault(record_id, []).append(_batch_change(head, kind, record_id, image))
                else:
                    bare.setdefault(record_id, []).append(head)
        self._add_bare(kind, bare, found)
        return found

    def heads(self, kind: str) -> list[BatchHead]:
        """The batches of a kind; those of all kinds are read together, for a log has few of them."""
        if self._heads is None:
            self._heads = {}
            for of_kind, one, act, what, low, high, kept in self.session.execute(_HEADS):
                head = BatchHead(
                    id=one, act_id=act, what=what, first_id=low, last_id=high, with_images=bool(kept)
                )
                self._heads.setdefault(of_kind, []).append(head)
        return self._heads.get(kind, [])

    def keys(self, batch_id: str) -> bytes:
        if batch_id not in self._keys:
            query = select(ChangeBatch.record_ids).where(ChangeBatch.id == key_of(batch_id))
            self._keys[batch_id] = self.session.scalars(query).one()
        return self._keys[batch_id]

    def forget(self, batch_id: str) -> None:
        """Read the batches anew: this one was added, or got images."""
        self._heads = None
        self._images.pop(batch_id, None)

    def _image(self, batch_id: str, place: int) -> Row:
        if batch_id not in self._images:
            query = select(ChangeBatch.images).where(ChangeBatch.id == key_of(batch_id))
            self._images[batch_id] = unpacked_images(self.session.scalars(query).one() or b"")
        columns, rows = self._images[batch_id]
        return dict(zip(columns, rows[place], strict=True))

    def _changes(self, kind: str, ids: Collection[str]) -> dict[str, list[LogChange]]:
        found: dict[str, list[LogChange]] = {}
        for some in by_many(sorted(ids)):
            of_these = {"kind": kind, "ids": [key_of(one) for one in some]}
            rows = self.session.execute(_CHANGES, of_these)
            for change_id, act_id, record_id, before, after in rows:
                found.setdefault(record_id, []).append(
                    LogChange(
                        act_id=act_id,
                        change_id=change_id,
                        record_kind=kind,
                        record_id=record_id,
                        before=None if before is None else json.loads(before),
                        after=None if after is None else json.loads(after),
                    )
                )
        return found

    def _add_bare(
        self, kind: str, bare: Mapping[str, Iterable[BatchHead]], found: dict[str, list[LogChange]]
    ) -> None:
        """Records that came with many: what they were is told by what was found of them first, or as they stand."""
        firsts = {key: _first_known(found.get(key, ())) for key in bare}
        rows = self.rows_now(kind, [key for key, image in firsts.items() if image is None])
        for record_id, heads in bare.items():
            image = firsts[record_id] or rows.get(record_id)
            if image is not None:
                found.setdefault(record_id, []).extend(
                    _batch_change(head, kind, record_id, image) for head in heads
                )


def _first_known(changes: Iterable[LogChange]) -> Mapping[str, Any] | None:
    earliest = min(
        (change for change in changes if change.before is not None),
        key=lambda change: (change.act_id, change.change_id),
        default=None,
    )
    return earliest.before if earliest else None


def _batch_change(head: BatchHead, kind: str, record_id: str, image: Mapping[str, Any]) -> LogChange:
    added = head.what == "added"
    return LogChange(
        act_id=head.act_id,
        change_id=head.id,
        record_kind=kind,
        record_id=record_id,
        before=None if added else image,
        after=image if added else None,
    )
