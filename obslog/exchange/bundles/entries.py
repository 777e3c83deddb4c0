"""What a bundle is made of: acts, and the records that each added, changed or removed, one by one or many in a batch.

An image of a record is its columns by their names, each value as SQLite stores it: a text, a number or nothing. Keys
are text, in small letters with hyphens, as they stand in the tables. What a newer program wrote beside the fields known
here is in `extra`, and is written again with the entry, as are columns that are not known.
"""

from datetime import datetime
from typing import Annotated, Any, Literal

from msgspec import Meta, Struct, field

from obslog.exchange.bundles.limits import LARGEST_NUMBER, LONGEST_TEXT, SMALLEST_NUMBER

Text = Annotated[str, Meta(max_length=LONGEST_TEXT)]
Whole = Annotated[int, Meta(ge=SMALLEST_NUMBER, le=LARGEST_NUMBER)]
Value = bool | Whole | float | Text | None
Image = dict[str, Value]


class ActFields(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One thing that a person did; `who` they were, as they typed it, and `origin`, the laptop they did it on."""

    id: str
    at_utc: Annotated[datetime, Meta(tz=True)]
    sentence: Text
    who: Text | None = None
    origin: str | None = None
    undoes_id: str | None = None


class ActEntry(ActFields, frozen=True, kw_only=True):
    """An act, with what is not known of it."""

    extra: dict[str, Any] = field(default_factory=dict)


class ChangeFields(Struct, frozen=True, kw_only=True, omit_defaults=True):
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


class ChangeEntry(ChangeFields, frozen=True, kw_only=True):
    """A change, with what is not known of it."""

    extra: dict[str, Any] = field(default_factory=dict)


class BatchFields(Struct, frozen=True, kw_only=True, omit_defaults=True):
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


class BatchEntry(BatchFields, frozen=True, kw_only=True):
    """A batch or a part of one, with what is not known of it."""

    extra: dict[str, Any] = field(default_factory=dict)


Entry = ActEntry | ChangeEntry | BatchEntry
