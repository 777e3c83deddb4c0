"""Whether the CHECKs of the tables let a row pass, asked of empty tables beside: no Python repeats what they say."""

import sqlite3
from functools import cache
from typing import Any

from sqlalchemy import Table
from sqlalchemy.dialects.sqlite import dialect as sqlite_dialect
from sqlalchemy.schema import CreateTable

from obslog.records.merging.checks import defaults
from obslog.records.merging.kinds import Kind
from obslog.records.tables.search_text import SEARCHED, search_text


class CheckProbe:
    """Empty tables in memory, one made when it is first asked; a row is put in and taken out again."""

    def __init__(self) -> None:
        self._connection = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
        self._made: set[str] = set()

    def breaks(self, kind: Kind, row: dict[str, Any]) -> bool:
        """Whether a table refuses the row for what it holds, whatever stands beside it."""
        whole = defaults(kind) | {name: value for name, value in row.items() if value is not None}
        try:
            for table in kind.tables:
                self._make(table)
                insertion, keys = _insertion(kind, table)
                values = {name: whole.get(key) for name, key in keys.items()}
                if searched := SEARCHED.get(table.name):
                    values["search_text"] = search_text([whole.get(name) for name in searched])
                self._connection.execute(insertion, list(values.values()))
        except sqlite3.IntegrityError:
            return True
        finally:
            for table in kind.tables:
                if table.name in self._made:
                    self._connection.execute(f'DELETE FROM "{table.name}"')
        return False

    def close(self) -> None:
        self._connection.close()

    def _make(self, table: Table) -> None:
        if table.name not in self._made:
            self._connection.execute(_creation(table))
            self._made.add(table.name)


@cache
def _creation(table: Table) -> str:
    return str(CreateTable(table).compile(dialect=sqlite_dialect()))


@cache
def _insertion(kind: Kind, table: Table) -> tuple[str, dict[str, str]]:
    """The statement that puts a row into the table, and under which key an image has each of its columns."""
    keys = {column.name: kind.mapper.get_property_by_column(column).key for column in table.columns}
    names = ", ".join(f'"{name}"' for name in keys)
    marks = ", ".join("?" for _name in keys)
    return f'INSERT INTO "{table.name}" ({names}) VALUES ({marks})', keys
