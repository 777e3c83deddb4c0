"""Images of records: their columns as SQLite stores them, which is plain JSON on either database.

What a record is searched by is no part of its image: it is made anew whenever a row is written.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, cast

from sqlalchemy import Table, inspect
from sqlalchemy.dialects.sqlite import dialect as sqlite_dialect
from sqlalchemy.types import TypeDecorator, TypeEngine

from obslog.records.tables.base import Base

SEARCHED_BY = "search_text"
_STORED = sqlite_dialect()
_NOTHING: Mapping[str, Any] = {}
Image = Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordKind:
    """A kind of record: its class, the tables over which it is spread (those that others refer to first), the types
    of its attributes, and in each table which column holds which attribute."""

    name: str
    mapped: type[Base]
    tables: tuple[Table, ...]
    types: dict[str, TypeEngine[Any]]
    to_stored: dict[str, Callable[[Any], Any] | None]
    columns: dict[str, dict[str, str]]


@lru_cache
def record_kinds() -> dict[str, type[Base]]:
    from obslog.records.tables import schema  # noqa: F401 - whatever was changed, its table must be known here

    return {mapper.class_.__name__: mapper.class_ for mapper in Base.registry.mappers}


@lru_cache
def record_kind(mapped: type[Base]) -> RecordKind:
    mapper = inspect(mapped)
    types = {a.key: a.columns[0].type for a in mapper.column_attrs if a.key != SEARCHED_BY}
    columns = {
        str(cast(Table, table).name): {
            column.name: key
            for column in table.columns
            if (key := mapper.get_property_by_column(column).key) != SEARCHED_BY
        }
        for table in mapper.tables
    }
    return RecordKind(
        name=mapped.__name__,
        mapped=mapped,
        tables=tuple(cast(Table, table) for table in mapper.tables),
        types=types,
        to_stored={key: _to_stored(kind) for key, kind in types.items()},
        columns=columns,
    )


def image_of(record: Any, was: Mapping[str, Any] = _NOTHING) -> dict[str, Any]:
    """The record's image, flushed or not; with `was`, attributes that had other values, as it was then."""
    now = inspect(record).dict
    image = {}
    for key, to_stored in record_kind(record.__class__).to_stored.items():
        value = was[key] if key in was else now[key] if key in now else getattr(record, key)
        image[key] = value if value is None or to_stored is None else to_stored(value)
    return image


def read_image(kind: RecordKind, image: Image) -> dict[str, Any]:
    """The attributes of an image as the program has them; what the kind does not know any more is left out."""
    return {
        key: cast(Any, type_).process_result_value(image[key], _STORED)
        if isinstance(type_, TypeDecorator)
        else image[key]
        for key, type_ in kind.types.items()
        if key in image
    }


def _to_stored(kind: TypeEngine[Any]) -> Callable[[Any], Any] | None:
    if not isinstance(kind, TypeDecorator):
        return None
    return lambda value: kind.process_bind_param(value, _STORED)
