"""Field types: each owns how its value is stored on SQLite (strict tables) and on PostgreSQL."""

import uuid
from datetime import UTC, date, datetime
from enum import StrEnum
from functools import lru_cache
from typing import Any

from sqlalchemy import REAL, Boolean, Date, DateTime, Dialect, Double, Integer, Text, Uuid
from sqlalchemy.types import TypeDecorator, TypeEngine

Real: TypeEngine[float] = Double().with_variant(REAL(), "sqlite")


@lru_cache(maxsize=32768)
def key_of(value: str) -> uuid.UUID:
    """A key from its text; the same few thousand come again and again."""
    return uuid.UUID(value)


@lru_cache(maxsize=32768)
def day_of(value: str) -> date:
    """A date from its text; a club has a few thousand nights."""
    return date.fromisoformat(value)


class Key(TypeDecorator[uuid.UUID]):
    """A UUID: text on SQLite, so that it can be read and sorted in time order; the native type on PostgreSQL."""

    impl = Text
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        return Text() if dialect.name == "sqlite" else Uuid()

    def process_bind_param(self, value: uuid.UUID | str | None, dialect: Dialect) -> Any:
        return str(value) if dialect.name == "sqlite" and isinstance(value, uuid.UUID) else value

    def process_result_value(self, value: Any, dialect: Dialect) -> uuid.UUID | None:
        return key_of(value) if isinstance(value, str) else value


def stored_utc(utc: datetime) -> str:
    """An instant in UTC as SQLite keeps it: text that sorts in time order."""
    return utc.isoformat(timespec="microseconds")[:26] + "Z"


class UtcTime(TypeDecorator[datetime]):
    """An instant in UTC; a time without a zone is refused. Text that sorts in time order on SQLite."""

    impl = DateTime
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        return Text() if dialect.name == "sqlite" else DateTime(timezone=True)

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> Any:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"a time without a zone was to be stored: {value.isoformat()}")
        utc = value if value.tzinfo is UTC else value.astimezone(UTC)
        return stored_utc(utc) if dialect.name == "sqlite" else utc

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        return datetime.fromisoformat(value) if isinstance(value, str) else value.astimezone(UTC)


class LocalDate(TypeDecorator[date]):
    """A calendar date, such as the evening that names a night."""

    impl = Date
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        return Text() if dialect.name == "sqlite" else Date()

    def process_bind_param(self, value: date | None, dialect: Dialect) -> Any:
        return value.isoformat() if value is not None and dialect.name == "sqlite" else value

    def process_result_value(self, value: Any, dialect: Dialect) -> date | None:
        return day_of(value) if isinstance(value, str) else value


class YesNo(TypeDecorator[bool]):
    """A truth value: 0 or 1 on SQLite."""

    impl = Boolean
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        return Integer() if dialect.name == "sqlite" else Boolean()

    def process_bind_param(self, value: bool | None, dialect: Dialect) -> Any:
        return int(value) if value is not None and dialect.name == "sqlite" else value

    def process_result_value(self, value: Any, dialect: Dialect) -> bool | None:
        return None if value is None else bool(value)


class Word(TypeDecorator[StrEnum]):
    """One word of a fixed vocabulary, stored as text; a named CHECK in the table keeps others out."""

    impl = Text
    cache_ok = True

    def __init__(self, vocabulary: type[StrEnum]) -> None:
        super().__init__()
        self.vocabulary = vocabulary

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        return None if value is None else str(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> StrEnum | None:
        return None if value is None else self.vocabulary(value)


class PlainText(TypeDecorator[str]):
    """Text by which something is known, such as a step: it may be handed in as a word of a list, and is read as text.

    It is no text in which a member's name could stand, so nothing in it is ever redacted.
    """

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        return None if value is None else str(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> str | None:
        return value
