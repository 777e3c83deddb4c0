"""What all tables share: the naming of constraints, strict tables, keys, and human names."""

import re
import unicodedata
import uuid
from collections.abc import Iterable
from datetime import date, datetime
from enum import StrEnum
from typing import Any, ClassVar

from sqlalchemy import CheckConstraint, Index, MetaData, Text, text
from sqlalchemy.orm import DeclarativeBase, Mapped, MappedAsDataclass, mapped_column
from sqlalchemy.types import TypeEngine

from obslog.fields import NumberField, TextField
from obslog.records.tables.column_types import Key, LocalDate, Real, UtcTime, Word, YesNo
from obslog.records.tables.keys import new_key
from obslog.vocabulary.arrivals import Landing, Role
from obslog.vocabulary.mounts import Controller, MountType, PierSide
from obslog.vocabulary.observations import FindingMethod, Sighting, Vision
from obslog.vocabulary.sky_scales import SkyScale
from obslog.vocabulary.storeroom import Acquired, Condition, Found, ReminderLevel

_NUMBERS = re.compile("([0-9]+)")
NAMING = {
    "pk": "pk_%(table_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "ix": "ix_%(column_0_N_label)s",
}
HOLDS = "the column, and what it may hold"  # in the `info` of a CHECK: a field, or the words that are known
_WORDS: tuple[type[StrEnum], ...] = (
    MountType,
    Controller,
    Role,
    PierSide,
    Landing,
    Sighting,
    FindingMethod,
    Vision,
    SkyScale,
    Condition,
    Found,
    Acquired,
    ReminderLevel,
)


class Base(MappedAsDataclass, DeclarativeBase, kw_only=True):
    """The base of all tables: a key made on the spot, and types that both databases store alike."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map: ClassVar[dict[Any, TypeEngine[Any] | type[TypeEngine[Any]]]] = {
        str: Text(),
        float: Real,
        bool: YesNo(),
        uuid.UUID: Key(),
        datetime: UtcTime(),
        date: LocalDate(),
        **{word: Word(word) for word in _WORDS},
    }
    id: Mapped[uuid.UUID] = mapped_column(
        primary_key=True, default_factory=new_key, insert_default=new_key, init=False, sort_order=-1
    )


def strict(*constraints: Any) -> tuple[Any, ...]:
    """The `__table_args__` of a table: its constraints, and strict typing where SQLite is used."""
    return (*constraints, {"sqlite_strict": True})


def known(column: str, words: Iterable[str]) -> CheckConstraint:
    """A CHECK that keeps a column inside its vocabulary."""
    listed = tuple(str(word) for word in words)
    quoted = ", ".join(f"'{word}'" for word in listed)
    return CheckConstraint(f"{column} IN ({quoted})", name=f"{column}_known", info={HOLDS: (column, listed)})


def within(column: str, low: float, high: float) -> CheckConstraint:
    """A CHECK that keeps a number between two ends; as all CHECKs, it lets an unknown value pass."""
    return of_field(column, NumberField(f"The {column.replace('_', ' ')}", low, high))


def of_field(column: str, field: NumberField | TextField) -> CheckConstraint:
    """The CHECK that keeps a column to what may stand in its field."""
    if isinstance(field, TextField):
        holds, name = f"length({column}) BETWEEN 1 AND {field.longest}", f"{column}_length"
    else:
        holds, name = f"{column} BETWEEN {field.low:g} AND {field.high:g}", f"{column}_range"
    return CheckConstraint(holds, name=name, info={HOLDS: (column, field)})


def filled(column: str, longest: int = 200) -> CheckConstraint:
    """A CHECK that a text is neither empty nor longer than that."""
    return of_field(column, TextField(f"The {column.replace('_', ' ')}", longest))


def kit_or_thing() -> CheckConstraint:
    """A CHECK that a row is about a kit or about an item, and not about both."""
    return CheckConstraint("(kit_id IS NULL) <> (equipment_id IS NULL)", name="kit_or_thing")


def searched(table: str) -> Index:
    """The index that SQLite looks through for words, from the newest row on, instead of the whole table.

    It begins with the time, so that a common word is found at once and new rows go to its end. PostgreSQL refuses
    long texts in an index.
    """
    return Index(
        f"ix_{table}_search",
        "at_utc",
        "id",
        "search_text",
        sqlite_where=text("search_text IS NOT NULL"),
        info={"only_on": "sqlite"},
    ).ddl_if(dialect="sqlite")


def searchable(*columns: str) -> CheckConstraint:
    """A CHECK that a row with any text has its search text, however it was written."""
    told = columns[0] if len(columns) == 1 else f"coalesce({', '.join(columns)})"
    return CheckConstraint(f"(search_text IS NULL) = ({told} IS NULL)", name="search_text_kept")


def name_key(name: str) -> str:
    """What two spellings of one name share: compatibility forms, case and spaces do not count.

    Source: The Unicode Standard, section 3.13, compatibility caseless match (folding may undo the composition, so
    the forms are normalised again after it).
    """
    folded = unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", name).casefold())
    return " ".join(folded.split())


def spelt_once(names: Iterable[str]) -> dict[str, str]:
    """Each name as the first was spelt of those that are one, so that they are counted as one: shelf 2 is Shelf 2."""
    first: dict[str, str] = {}
    return {name: first.setdefault(name_key(name), name) for name in names}


def tag_order(tag: str) -> tuple[str | int, ...]:
    """What tags are put in order by: M-9 stands before M-10. Texts and numbers alternate, so any two compare."""
    return tuple(int(part) if place % 2 else part for place, part in enumerate(_NUMBERS.split(name_key(tag))))
