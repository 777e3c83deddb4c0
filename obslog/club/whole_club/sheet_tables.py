"""The tables as sheets: made from the tables themselves, so that a new table or column is in the folder at once.

What is left out is written here, with the reason; everything else goes.
"""

from collections.abc import Mapping
from typing import cast

from sqlalchemy import CheckConstraint, Column, Integer, LargeBinary, Table, Text, UniqueConstraint
from sqlalchemy.orm import Mapper
from sqlalchemy.types import Double

from obslog import fields
from obslog.club.whole_club.column_words import meaning_of
from obslog.exchange.package.tables import Holds, Reference, SheetColumn, SheetTable
from obslog.fields import NumberField, TextField
from obslog.records.tables.base import HOLDS, Base
from obslog.records.tables.column_types import Key, LocalDate, PlainText, UtcTime, Word, YesNo
from obslog.records.tables.schema import metadata

LEFT_OUT_TABLES = {
    "kept_results": "what was computed of the other tables; computed again when it is asked for",
    "mount_changes": "how often a mount's records changed; counted by the database itself",
}
LEFT_OUT_COLUMNS = {
    "name_key": "made of the name, to know it whatever its capitals and spaces",
    "search_text": "made of the texts of the row, to find words in them",
}
PRIVATE_TABLES = {"contacts": "how members are reached; only with --with-private"}
PRIVATE_IN_HISTORY = {"history of contacts": "how members were reached before; only with --with-private"}
_TYPED: Mapping[tuple[str, str], TextField] = {
    ("contacts", "phone"): fields.PHONE,
    ("contacts", "email"): fields.EMAIL,
    ("contacts", "address"): fields.ADDRESS,
}
"""What may stand in columns that have no CHECK of their length."""
_HOLDS = {
    Key: Holds.KEY,
    UtcTime: Holds.INSTANT,
    LocalDate: Holds.DAY,
    YesNo: Holds.YES_NO,
    Word: Holds.WORD,
    Integer: Holds.WHOLE,
    Double: Holds.NUMBER,
    LargeBinary: Holds.BYTES,
    PlainText: Holds.TEXT,
    Text: Holds.TEXT,
}


def tables_to_go(*, with_private: bool) -> list[Table]:
    """The tables in an order in which each stands after those that it refers to."""
    out = LEFT_OUT_TABLES.keys() | (set() if with_private else PRIVATE_TABLES.keys())
    return [table for table in metadata.sorted_tables if table.name not in out]


def left_out(*, with_private: bool) -> dict[str, str]:
    """What is not in the folder, and why."""
    private = {} if with_private else {**PRIVATE_TABLES, **PRIVATE_IN_HISTORY}
    return {**LEFT_OUT_TABLES, **LEFT_OUT_COLUMNS, **private}


def private_kinds() -> list[str]:
    """The kinds of record, as the history names them, that are private."""
    return sorted(
        mapper.class_.__name__
        for mapper in Base.registry.mappers
        if cast(Table, mapper.local_table).name in PRIVATE_TABLES
    )


def record_kinds() -> frozenset[str]:
    """All kinds of record that the history may name."""
    return frozenset(mapper.class_.__name__ for mapper in Base.registry.mappers)


def columns_to_go(table: Table) -> list[Column[object]]:
    """The columns that are records and not made of others."""
    return [column for column in table.columns if column.name not in LEFT_OUT_COLUMNS]


def sheet_of(table: Table) -> SheetTable:
    """The table as a sheet."""
    columns = columns_to_go(table)
    names = {column.name for column in columns}
    groups = [
        tuple(column.name for column in constraint.columns)
        for constraint in sorted(_unique(table), key=lambda found: str(found.name))
    ]
    whole = [group for group in groups if names.issuperset(group)]
    alone = {group[0] for group in whole if len(group) == 1}
    return SheetTable(
        name=table.name,
        meaning=_meaning(table),
        columns=tuple(_column(table, column, unique=column.name in alone) for column in columns),
        key=tuple(column.name for column in table.primary_key.columns),
        unique=tuple(group for group in whole if len(group) > 1),
        references=tuple(
            Reference(key.parent.name, key.column.table.name, key.column.name)
            for key in sorted(table.foreign_keys, key=lambda key: key.parent.name)
        ),
    )


def _unique(table: Table) -> list[UniqueConstraint]:
    return [constraint for constraint in table.constraints if isinstance(constraint, UniqueConstraint)]


def _column(table: Table, column: Column[object], *, unique: bool) -> SheetColumn:
    rule, words = _rule(table, column)
    holds = holds_of(column)
    return SheetColumn(
        name=column.name,
        holds=Holds.WORD if words else holds,
        meaning=meaning_of(table.name, column.name),
        needed=not column.nullable,
        rule=rule,
        words=words,
        unique=unique,
    )


def holds_of(column: Column[object]) -> Holds:
    """What the column's type stands for."""
    for kind, holds in _HOLDS.items():
        if isinstance(column.type, kind):
            return holds
    raise TypeError(f"no sheet has a form for {column.table.name}.{column.name}: {column.type!r}")


def _rule(table: Table, column: Column[object]) -> tuple[NumberField | TextField | None, tuple[str, ...]]:
    """What the column may hold: by the CHECK of its own, by its vocabulary, or by what may be typed there."""
    rule: NumberField | TextField | None = _TYPED.get((table.name, column.name))
    words: tuple[str, ...] = ()
    if isinstance(column.type, Word):
        words = tuple(str(word) for word in column.type.vocabulary)
    for constraint in table.constraints:
        if isinstance(constraint, CheckConstraint) and HOLDS in constraint.info:
            name, holds = constraint.info[HOLDS]
            if name == column.name:
                rule, words = (rule, holds) if isinstance(holds, tuple) else (holds, words)
    return rule, words


def _meaning(table: Table) -> str:
    """The first paragraph of what the table's class says of itself."""
    classes: dict[object, Mapper[object]] = {mapper.local_table: mapper for mapper in Base.registry.mappers}
    told = classes[table].class_.__doc__ if table in classes else None
    written = told is not None and not told.startswith(classes[table].class_.__name__ + "(")
    if not written or told is None:
        return f"{table.name.replace('_', ' ').capitalize()}: what is on record of each."
    return " ".join(told.split("\n\n")[0].split())
