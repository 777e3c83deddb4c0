"""Images of records: their columns as SQLite stores them, which is plain JSON on either database."""

from collections.abc import Iterable
from typing import Any, cast

from sqlalchemy import inspect
from sqlalchemy.dialects.sqlite import dialect as sqlite_dialect
from sqlalchemy.orm import Mapper
from sqlalchemy.types import TypeDecorator, TypeEngine

from obslog.records.tables.base import Base

_STORED = sqlite_dialect()


def record_kinds() -> dict[str, type[Base]]:
    from obslog.records.tables import schema  # noqa: F401 - whatever was changed, its table must be known here

    return {mapper.class_.__name__: mapper.class_ for mapper in Base.registry.mappers}


def image_of(record: Any, before: bool = False) -> dict[str, Any]:
    """The record's columns as SQLite stores them; as they were before the change where asked."""
    state = inspect(record)
    values: dict[str, Any] = {}
    for attribute in state.mapper.column_attrs:
        value = getattr(record, attribute.key)
        if before and (old := state.attrs[attribute.key].history.deleted):
            value = old[0]
        kind = attribute.columns[0].type
        values[attribute.key] = as_stored(kind, value)
    return values


def as_stored(kind: TypeEngine[Any], value: Any) -> Any:
    """The value of a column as SQLite stores it, which is plain JSON."""
    return kind.process_bind_param(value, _STORED) if isinstance(kind, TypeDecorator) else value


def read_image(mapper: Mapper[Any], stored: dict[str, Any]) -> dict[str, Any]:
    columns: Iterable[tuple[str, Any]] = ((a.key, a.columns[0].type) for a in mapper.column_attrs)
    return {
        key: cast(Any, kind).process_result_value(stored[key], _STORED)
        if isinstance(kind, TypeDecorator)
        else stored[key]
        for key, kind in columns
        if key in stored
    }
