"""The texts that people wrote, in rows and in images of them: where words stand in them, and without the words."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any
from uuid import UUID

from sqlalchemy import Column, Table, Text, select
from sqlalchemy.orm import Session

from obslog.fields import TextField
from obslog.records.nameless import NAMES
from obslog.records.redaction.words import Words
from obslog.records.tables.base import HOLDS, Base
from obslog.records.tables.schema import metadata

_NOT_TEXTS = {
    "acts",
    "changes",
    "change_batches",
    "same_records",
    "parked_records",
    "record_obstacles",
    "told_acts",
    "contacts",
    "club_rules",
    "mount_changes",
    "kept_results",
}
_DERIVED = {"name_key", "search_text", "sha256", "text_sha256", "kind"}
_KNOWN_BY = {"zone", "horizon", "status", "word", "word_out", "word_in"}
"""Columns by which something is known, or that a program reads: nobody is spoken of in them."""


@dataclass(frozen=True, slots=True)
class WrittenText:
    """A text in which words were found: its table, key and column."""

    table: str
    key: UUID
    column: str
    text: str


def texts_with(session: Session, words: Words) -> Iterator[WrittenText]:
    """Every text that people wrote, outside the record of acts and the contacts, in which the words stand."""
    for table in metadata.sorted_tables:
        columns = [column for column in table.columns if _is_text(column)]
        if table.name in _NOT_TEXTS or not columns:
            continue
        for key, *texts in session.execute(select(table.c.id, *columns).order_by(table.c.id)):
            for column, text in zip(columns, texts, strict=True):
                if text and words.stand_in(text):
                    yield WrittenText(table.name, key, column.name, text)


def with_texts(kind: str, image: Mapping[str, Any], replaced: Callable[[str], str]) -> dict[str, Any]:
    """The image of a record of that kind with its texts replaced, but what it is called.

    Of a kind that only a newer program knows every text is.
    """
    columns = _written_in(kind)
    return {
        name: replaced(value)[: columns[name] if columns else None]
        if isinstance(value, str) and name not in NAMES and (columns is None or name in columns)
        else value
        for name, value in image.items()
    }


@cache
def _written_in(kind: str) -> Mapping[str, int | None] | None:
    """The columns of a kind of record in which people write, with the longest text of each.

    None of a kind that is not known.
    """
    found = next((one for one in Base.registry.mappers if one.class_.__name__ == kind), None)
    if found is None:
        return None
    return {
        column.name: _longest(table, column.name)
        for table in metadata.sorted_tables
        if table in found.tables and table.name not in _NOT_TEXTS
        for column in table.columns
        if _is_text(column)
    }


def _longest(table: Table, column: str) -> int | None:
    """How long a text may be: what takes the place of a short name is longer than it."""
    told = [rule.info[HOLDS] for rule in table.constraints if HOLDS in rule.info]
    return next(
        (field.longest for name, field in told if name == column and isinstance(field, TextField)), None
    )


def replace_texts(session: Session, found: Sequence[WrittenText], words: Words) -> None:
    """Put the words' replacements into texts; what is searched by follows."""
    classes = {mapper.local_table: mapper.class_ for mapper in Base.registry.mappers}
    for text in found:
        table = metadata.tables[text.table]
        record: Any = session.get_one(classes[table], text.key)
        longest = _longest(table, text.column)
        setattr(record, text.column, words.replaced(getattr(record, text.column))[:longest])
    session.flush()


def _is_text(column: Column[Any]) -> bool:
    return isinstance(column.type, Text) and column.name not in _DERIVED | _KNOWN_BY
