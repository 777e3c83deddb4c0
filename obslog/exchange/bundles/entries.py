"""What a bundle is made of: acts, and the records that each added, changed or removed, one by one or many in a batch.

An image of a record is its columns by their names, each value as SQLite stores it: a text, a number or nothing. Keys
are text, in small letters with hyphens, as they stand in the tables. What a newer program wrote beside the fields known
here is in `extra`, and is written again with the entry, as are columns that are not known.
"""

from datetime import datetime
from typing import Any, Literal

from msgspec import Struct, field

Value = bool | int | float | str | None
Image = dict[str, Value]


class ActEntry(Struct, frozen=True, kw_only=True):
    """One thing that a person did; `who` they were, as they typed it, and `origin`, the laptop they did it on."""

    id: str
    at_utc: datetime
    sentence: str
    who: str | None = None
    origin: str | None = None
    undoes_id: str | None = None
    extra: dict[str, Any] = field(default_factory=dict)


class ChangeEntry(Struct, frozen=True, kw_only=True):
    """One record in one act: `before` is None where it was added, `after` where it was removed.

    `withheld` are the columns whose values stayed home, or were made coarse, in either image.
    """

    id: str
    act_id: str
    record_kind: str
    record_id: str
    before: Image | None = None
    after: Image | None = None
    withheld: tuple[str, ...] = ()
    extra: dict[str, Any] = field(default_factory=dict)


class BatchEntry(Struct, frozen=True, kw_only=True):
    """Many records of one kind that an act added or removed: a row of values for each key, under the same columns.

    Several entries may be parts of one batch and share its `id`. `withheld` holds for every row of the entry.
    """

    id: str
    act_id: str
    record_kind: str
    what: Literal["added", "removed"]
    columns: tuple[str, ...]
    ids: list[str]
    rows: list[list[Value]]
    withheld: tuple[str, ...] = ()
    extra: dict[str, Any] = field(default_factory=dict)


Entry = ActEntry | ChangeEntry | BatchEntry
