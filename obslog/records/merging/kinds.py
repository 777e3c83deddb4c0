"""The kinds of records as merging sees them, read from the tables: what they refer to, and what may stand only once.

A new table is merged without a word here, where what it refuses twice is to be set aside or made one.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Any, cast

from sqlalchemy import Table, UniqueConstraint
from sqlalchemy.orm import Mapper

from obslog.records.tables.base import Base
from obslog.records.tables.lending import WHERE

NOT_RECORDS = frozenset({"Act", "Change", "ChangeBatch", "ParkedRecord"})
"""Mapped classes that are the history itself, or stand for it on this machine alone."""

_CLOSED = re.compile(r"(\w+) IS NULL")


class Twice(StrEnum):
    """What becomes of the second of two records that may not stand side by side."""

    JOINED = "joined"  # they mean the same: one record
    RENAMED = "renamed"
    NUMBERED = "numbered"
    BLANK = "blank"
    ASIDE = "aside"


_BY_COLUMNS: dict[tuple[str, ...], Twice] = {
    ("name_key",): Twice.RENAMED,
    ("kind", "name_key"): Twice.RENAMED,
    ("night_id", "mount_id", "ordinal"): Twice.NUMBERED,
    ("tag",): Twice.BLANK,
}
_FIRST_SAYS = {
    "Stocktake": frozenset({"started_on", "member_id"}),
    "StocktakeTick": frozenset({"seen_utc"}),
    "StocktakePart": frozenset({"seen_utc"}),
    "StocktakeLine": frozenset({"found", "status", "name", "kit", "tag", "place", "value"}),
}
"""Of records that say the same, the columns in which the first of them is right, and the others contradict nothing."""
_ORDER = [Twice.JOINED, Twice.RENAMED, Twice.NUMBERED, Twice.BLANK, Twice.ASIDE]


@dataclass(frozen=True, slots=True, kw_only=True)
class Once:
    """Columns whose values together may stand once; only among rows in which `while_open` is empty, if it is given.

    Without any column one row may stand in which `while_open` is empty, whatever it says: two that were begun apart are
    one while both are open.
    """

    columns: tuple[str, ...]
    while_open: str | None
    second: Twice

    def key(self, fields: dict[str, Any]) -> tuple[Any, ...] | None:
        """What may stand once of a record with these fields; None where nothing of it keeps others out."""
        if self.while_open is not None and fields.get(self.while_open) is not None:
            return None
        key = tuple(fields.get(name) for name in self.columns)
        return None if None in key else key


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Kind:
    """A kind of records: its place in the order in which rows can be written, and its rules."""

    name: str
    order: int
    mapper: Mapper[Any]
    columns: tuple[str, ...]
    refers: dict[str, tuple[str, ...]]
    once: tuple[Once, ...]
    first_says: frozenset[str]
    referred_by: tuple[tuple[str, str], ...]

    @property
    def tables(self) -> tuple[Table, ...]:
        return tuple(cast(Table, table) for table in self.mapper.tables)

    @property
    def makes_one(self) -> frozenset[str]:
        """The columns by which two records of the kind say the same, also where these refer to two that are one now."""
        joined = (once for once in self.once if once.second is Twice.JOINED)
        return frozenset(name for once in joined for name in once.columns)

    @property
    def its_own(self) -> str | None:
        """The column that refers to records of the kind itself, as a loan names the one before it; at most one."""
        return next((column for column, among in self.refers.items() if self.name in among), None)

    @property
    def has_name(self) -> bool:
        return "name_key" in self.columns


@cache
def kinds() -> dict[str, Kind]:
    """All kinds of records by their names, those before which others can be written first."""
    from obslog.records.tables import schema

    mappers = {
        mapper.class_.__name__: mapper
        for mapper in Base.registry.mappers
        if mapper.class_.__name__ not in NOT_RECORDS and _stands_for_itself(mapper)
    }
    places = {table.name: place for place, table in enumerate(schema.metadata.sorted_tables)}
    inside = {name: {table.name for table in mapper.tables} for name, mapper in mappers.items()}
    refers = {name: _refers(mapper, inside) for name, mapper in mappers.items()}
    referred_by = {
        name: tuple(
            (other, column)
            for other, columns in sorted(refers.items())
            for column, targets in sorted(columns.items())
            if name in targets
        )
        for name in mappers
    }
    ordered = sorted(mappers, key=lambda name: (min(places[table] for table in inside[name]), name))
    return {
        name: Kind(
            name=name,
            order=order,
            mapper=mappers[name],
            columns=tuple(attribute.key for attribute in mappers[name].column_attrs),
            refers=refers[name],
            once=tuple(_once(mappers[name].tables)),
            first_says=_FIRST_SAYS.get(name, frozenset()),
            referred_by=referred_by[name],
        )
        for order, name in enumerate(ordered)
    }


def _stands_for_itself(mapper: Mapper[Any]) -> bool:
    """Whether records of this very class are written: not of one that is only the common part of others."""
    return mapper.polymorphic_on is None or mapper.polymorphic_identity is not None


def _refers(mapper: Mapper[Any], inside: dict[str, set[str]]) -> dict[str, tuple[str, ...]]:
    """The columns that refer to other records, each with the kinds that these may be of."""
    found: dict[str, tuple[str, ...]] = {}
    for table in mapper.tables:
        for column in table.columns:
            for key in column.foreign_keys:
                if column.primary_key:  # the common part of the same record
                    continue
                to = key.column.table.name
                if kinds_there := tuple(sorted(name for name, tables in inside.items() if to in tables)):
                    found[mapper.get_property_by_column(column).key] = kinds_there
    return found


def _once(tables: Iterable[Any]) -> list[Once]:
    found: list[Once] = []
    for table in tables:
        for rule in table.constraints:
            if isinstance(rule, UniqueConstraint):
                columns = tuple(column.name for column in rule.columns)
                found.append(
                    Once(columns=columns, while_open=None, second=_BY_COLUMNS.get(columns, Twice.JOINED))
                )
        for index in table.indexes:
            if index.unique:
                closed = _CLOSED.fullmatch(str(index.info[WHERE])) if WHERE in index.info else None
                columns = tuple(column.name for column in index.columns)
                second = Twice.ASIDE if columns else Twice.JOINED
                found.append(Once(columns=columns, while_open=closed and closed[1], second=second))
    return sorted(found, key=lambda once: (_ORDER.index(once.second), once.columns))
