"""Many rows at once, as the driver gives them: no objects are made, and no column's type does its work on each value.

For what is computed from thousands of rows. Keys, dates and instants are read here: the two drivers give them
differently.
"""

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime
from typing import Any
from uuid import UUID

from sqlalchemy import ColumnElement, Select, type_coerce
from sqlalchemy.orm import Session
from sqlalchemy.orm.attributes import InstrumentedAttribute
from sqlalchemy.types import NullType

from obslog.records.tables.column_types import day_of, key_of


def bare(column: InstrumentedAttribute[Any]) -> ColumnElement[Any]:
    """The column under its own name, to be read as the driver gives it."""
    return type_coerce(column, NullType()).label(column.key)


def columns_of(session: Session, query: Select[Any]) -> list[Sequence[Any]]:
    """The columns of what a query finds, one sequence each; all empty where it finds nothing."""
    found = session.execute(query)
    width = len(found.keys())
    return list(zip(*found, strict=True)) or [()] * width


def key_texts(values: Sequence[str | UUID]) -> list[str]:
    """Keys as text: SQLite keeps them so."""
    return [str(value) for value in values]


def keys_of(values: Iterable[str | UUID | None]) -> list[UUID | None]:
    """Keys, and None where there is none."""
    return [key_of(value) if isinstance(value, str) else value for value in values]


def days_of(values: Iterable[str | date]) -> list[date]:
    return [day_of(value) if isinstance(value, str) else value for value in values]


def instant_of(value: str | datetime) -> datetime:
    return datetime.fromisoformat(value) if isinstance(value, str) else value.astimezone(UTC)
