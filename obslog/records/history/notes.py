"""What an act added, changed and removed, in its order, until it is written down."""

import json
from collections.abc import Callable, Sequence
from typing import Any, cast
from uuid import UUID

from sqlalchemy import Table
from sqlalchemy.orm import Session

from obslog.records.bulk_insert import insert_rows
from obslog.records.history.batches import packed_images, packed_keys
from obslog.records.history.images import Image
from obslog.records.tables.keys import new_keys_as_text
from obslog.records.tables.logbook import Change, ChangeBatch

FEW = 20  # records of one kind that are noted one by one, each with its image

_CHANGE = ("id", "act_id", "record_kind", "record_id", "before", "after")
_ALONE = len(_CHANGE) - 2  # what is noted of one record
_BATCH = (
    "id", "act_id", "record_kind", "what", "first_id", "last_id", "records", "record_ids", "images",
)  # fmt: skip


class Notes:
    """Entries of the history in the order in which things happened, which is that of their keys."""

    def __init__(self) -> None:
        self._entries: list[tuple[Any, ...]] = []

    def __bool__(self) -> bool:
        return bool(self._entries)

    def changed(self, kind: str, key: UUID | str, before: Image | None, after: Image | None) -> None:
        """One record: `before` is None where it was added, `after` where it was removed."""
        self._entries.append((kind, str(key), _document(before), _document(after)))

    def added(self, kind: str, keys: Sequence[str]) -> None:
        """Many records that were added; their images are the rows as they stand."""
        if keys:
            ordered = sorted(keys)
            self._entries.append(_batch(kind, "added", ordered, None))

    def removed(self, kind: str, names: Sequence[str], rows: Sequence[Sequence[Any]]) -> None:
        """Many records that were removed: their images, which are kept."""
        if not rows:
            return
        place = list(names).index("id")
        ordered = sorted(rows, key=lambda row: str(row[place]))
        keys = [str(row[place]) for row in ordered]
        self._entries.append(_batch(kind, "removed", keys, packed_images(names, ordered)))

    def forget(self, known: Callable[[str, str, Image], Image]) -> None:
        """Keep of what each record was before only what `known` leaves of it, by its kind and key."""
        self._entries = [
            (kind, key, _document(known(kind, key, json.loads(before))), after)
            if len(entry) == _ALONE and before is not None
            else entry
            for entry in self._entries
            for kind, key, before, after in [entry[:_ALONE]]
        ]

    def write(self, session: Session, act_id: UUID) -> None:
        """Put the entries under an act that is on record."""
        told = list(zip(new_keys_as_text(len(self._entries)), self._entries, strict=True))
        for table, columns in ((Change, _CHANGE), (ChangeBatch, _BATCH)):
            rows = [
                (key, act_id, *entry) for key, entry in told if (len(entry) == _ALONE) is (table is Change)
            ]
            insert_rows(session, cast(Table, table.__table__), columns, rows)


def _batch(kind: str, what: str, keys: Sequence[str], images: bytes | None) -> tuple[Any, ...]:
    return kind, what, keys[0], keys[-1], len(keys), packed_keys(keys), images


def _document(image: Image | None) -> str | None:
    return None if image is None else json.dumps(image)
