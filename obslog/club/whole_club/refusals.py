"""What the database refuses of rows from a sheet, in words: which of its rules the row breaks, and what to do."""

import re
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from sqlalchemy import CheckConstraint, Connection, Index, Table, UniqueConstraint, select
from sqlalchemy.exc import DBAPIError

from obslog.english import enumerated
from obslog.records.tables.lending import WHERE

_NAMED = re.compile(r"CHECK constraint failed: (\S+)")
_ALONE = re.compile(r"UNIQUE constraint failed: index '(.+)'")
_ALIKE = re.compile(r"UNIQUE constraint failed: (.+)")
_MOST_SHOWN = 60


class RowRefused(Exception):
    """Why a row is refused; `column` is empty where it is the row as a whole."""

    def __init__(self, column: str, reason: str, remedy: str) -> None:
        super().__init__(reason)
        self.column, self.reason, self.remedy = column, reason, remedy


class LooseReference(RowRefused):
    """A column refers to a row that is not there: the key of no row of that table."""

    def __init__(self, column: str, table: str, key: object, *, may_be_blank: bool) -> None:
        super().__init__(
            column,
            f"{table}.csv has no row with the key {str(key)[:_MOST_SHOWN]}.",
            f"Put that row back{', or leave this cell blank' if may_be_blank else ''}.",
        )
        self.table, self.key = table, key


def refusal_of(error: DBAPIError, table: Table) -> RowRefused:
    """The refusal of one row, from what the driver says; what it refers to is looked at by `loose_reference`."""
    name, columns = _broken(error)
    check = next((rule for rule in _checks(table) if str(rule.name) in (name, _bare(name))), None)
    if check is not None:
        rule = " ".join(str(check.sqltext).split())
        return RowRefused("", f"breaks the rule: {rule}.", "Correct the row so that the rule holds.")
    if _one_alone(table, name):
        return RowRefused(
            "", f"another row stands already{_while(table, ())}.", "Take one of the two out, or end it."
        )
    alike = columns or _columns_alike(table, name)
    if alike:
        return _not_alone(alike, _while(table, alike))
    told = str(error.orig).strip().splitlines()[0] if str(error.orig).strip() else "no reason given"
    return RowRefused("", f"is refused by the database: {told}.", "Correct the row.")


def loose_reference(connection: Connection, table: Table, row: Mapping[str, Any]) -> LooseReference | None:
    """The first column of the row that refers to a row which is not there."""
    for key in sorted(table.foreign_keys, key=lambda key: key.parent.name):
        value = row.get(key.parent.name)
        if value is None:
            continue
        there = connection.scalar(select(key.column).where(key.column == UUID(str(value))))
        if there is None:
            may_be_blank = bool(key.parent.nullable)
            return LooseReference(key.parent.name, key.column.table.name, value, may_be_blank=may_be_blank)
    return None


def _broken(error: DBAPIError) -> tuple[str, tuple[str, ...]]:
    """The name of the constraint, where the driver gives one, and the columns that have to differ."""
    named = getattr(getattr(error.orig, "diag", None), "constraint_name", None)
    if named:
        return str(named), ()
    told = str(error.orig)
    if found := _NAMED.search(told):
        return found[1], ()
    if found := _ALONE.search(told):
        return found[1], ()
    if found := _ALIKE.search(told):
        return "", tuple(part.strip().rpartition(".")[2] for part in found[1].split(","))
    return "", ()


def _checks(table: Table) -> list[CheckConstraint]:
    return [rule for rule in table.constraints if isinstance(rule, CheckConstraint)]


def _bare(name: str) -> str:
    return name.partition("_")[2]


def _columns_alike(table: Table, name: str) -> tuple[str, ...]:
    """The columns of the unique constraint or index of that name."""
    rules: list[UniqueConstraint | Index] = [
        *(rule for rule in table.constraints if isinstance(rule, UniqueConstraint)),
        *(index for index in table.indexes if index.unique),
    ]
    if table.primary_key.name == name:
        return tuple(column.name for column in table.primary_key.columns)
    found = next((rule for rule in rules if str(rule.name) == name), None)
    return tuple(column.name for column in found.columns) if found is not None else ()


def _one_alone(table: Table, name: str) -> bool:
    """Whether that is the index by which one row alone may stand at a time, whatever it holds."""
    return any(str(index.name) == name and not len(index.columns) for index in table.indexes)


def _while(table: Table, columns: tuple[str, ...]) -> str:
    """For which rows alone the columns have to differ."""
    for index in table.indexes:
        if index.unique and WHERE in index.info and tuple(c.name for c in index.columns) == columns:
            return f" where {str(index.info[WHERE]).replace('IS NULL', 'is blank')}"
    return ""


def _not_alone(columns: tuple[str, ...], only_where: str) -> RowRefused:
    shown = ["name" if column == "name_key" else column for column in columns]
    spelled = "; capitals and spaces do not make another name" if "name_key" in columns else ""
    return RowRefused(
        shown[0] if len(shown) == 1 else "",
        f"another row has the same {enumerated(shown)}{only_where}{spelled}.",
        "Take one of the two out, or correct it.",
    )
