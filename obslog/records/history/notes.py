"""What an act added, changed and removed, in its order, until it is written down."""

import json
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple, cast
from uuid import UUID

from sqlalchemy import Table
from sqlalchemy.orm import Session

from obslog.records.bulk_insert import insert_rows
from obslog.records.history.batches import packed_images, packed_keys
from obslog.records.history.images import Image
from obslog.records.tables.keys import new_keys_as_text
from obslog.records.tables.logbook import Change, ChangeBatch

FEW = 20  # records of one kind that are noted one by one, each with its image


class _One(NamedTuple):
    """What is noted of one record, in the order of the columns."""

    record_kind: str
    record_id: str
    before: str | None
    after: str | None


class _Many(NamedTuple):
    """What is noted of many records, in the order of the columns."""

    record_kind: str
    what: str
    first_id: str
    last_id: str
    records: int
    record_ids: bytes
    images: bytes | None


class Notes:
    """Entries of the history in the order in which things happened, which is that of their keys."""

    def __init__(self) -> None:
        self._entries: list[_One | _Many] = []

    def __bool__(self) -> bool:
        return bool(self._entries)

    def changed(self, kind: str, key: UUID | str, before: Image | None, after: Image | None) -> None:
        """One record: `before` is None where it was added, `after` where it was removed."""
        self._entries.append(_One(kind, str(key), _document(before), _document(after)))

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
        for place, entry in enumerate(self._entries):
            if isinstance(entry, _One) and entry.before is not None:
                left = known(entry.record_kind, entry.record_id, json.loads(entry.before))
                self._entries[place] = entry._replace(before=_document(left))

    def write(self, session: Session, act_id: UUID) -> None:
        """Put the entries under an act that is on record."""
        keys = new_keys_as_text(len(self._entries))
        for table, noted in ((Change, _One), (ChangeBatch, _Many)):
            rows = [
                (key, act_id, *entry)
                for key, entry in zip(keys, self._entries, strict=True)
                if isinstance(entry, noted)
            ]
            insert_rows(session, cast(Table, table.__table__), ("id", "act_id", *noted._fields), rows)


def _batch(kind: str, what: str, keys: Sequence[str], images: bytes | None) -> _Many:
    return _Many(kind, what, keys[0], keys[-1], len(keys), packed_keys(keys), images)


def _document(image: Image | None) -> str | None:
    return None if image is None else json.dumps(image)
