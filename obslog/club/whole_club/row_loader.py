"""Rows of a sheet into their table, many at a time; where the database refuses some, which, and why.

A part that is refused is halved until the rows are found that are to blame: so sound rows cost one statement for
thousands, and only faults cost more. What refers to the table itself goes in when all its rows are there.
"""

from collections.abc import Sequence
from typing import Any
from uuid import UUID

from sqlalchemy import Table, bindparam, update
from sqlalchemy.exc import DataError, DBAPIError, IntegrityError
from sqlalchemy.orm import Session

from obslog.club.whole_club.refusals import RowRefused, loose_reference, refusal_of
from obslog.exchange.package.faults import FaultList
from obslog.records.bulk_insert import insert_rows
from obslog.records.tables.base import name_key

Row = tuple[Any, ...]


class LostRows:
    """Rows that did not come in, by their keys or by their sheet: what refers to them is not to blame."""

    def __init__(self) -> None:
        self._keys: set[str] = set()
        self._sheets: set[str] = set()

    def add(self, key: object) -> None:
        self._keys.add(str(key))

    def add_sheet(self, table: str) -> None:
        self._sheets.add(table)

    def may_hold(self, table: str, key: object) -> bool:
        return table in self._sheets or str(key) in self._keys


class RowLoader:
    """Puts the rows of one sheet into their table."""

    def __init__(self, session: Session, table: Table, file: str, columns: Sequence[str]) -> None:
        self._session, self._table, self._file = session, table, file
        self._columns = list(columns)
        self._named = self._columns.index("name") if "name_key" in table.c else None
        self._own = [key.parent.name for key in table.foreign_keys if key.column.table is table]
        # Line, column, key of the row, what it refers to.
        self._later: list[tuple[int, str, str, object]] = []

    def load(self, rows: Sequence[tuple[int, Row]], faults: FaultList, lost: LostRows) -> None:
        """Insert rows, each with its line."""
        ready = [(line, self._without_own(line, row)) for line, row in rows]
        self._insert(ready, faults, lost)

    def tie(self, faults: FaultList, lost: LostRows) -> None:
        """Fill in what refers to the table's own rows, now that all are there."""
        for line, column, key, value in self._later:
            if lost.may_hold(self._table.name, value):
                continue
            row = {column: UUID(str(value))}
            loose = loose_reference(self._session.connection(), self._table, row)
            if loose is not None:
                self._tell(line, loose, faults)
                continue
            own_key = next(iter(self._table.primary_key.columns))
            statement = update(self._table).where(own_key == bindparam("row_key")).values(row)
            self._session.execute(statement, {"row_key": UUID(str(key))})

    def _without_own(self, line: int, row: Row) -> Row:
        if not self._own:
            return row
        values = list(row)
        for name in self._own:
            place = self._columns.index(name)
            if values[place] is not None:
                key = values[self._columns.index(next(iter(self._table.primary_key.columns)).name)]
                self._later.append((line, name, key, values[place]))
                values[place] = None
        return tuple(values)

    def _insert(self, rows: Sequence[tuple[int, Row]], faults: FaultList, lost: LostRows) -> None:
        if not rows or faults.is_full:
            return
        refused = self._refused([row for _, row in rows])
        if refused is None:
            return
        if len(rows) == 1:
            self._explain(rows[0], refused, faults, lost)
            return
        half = len(rows) // 2
        self._insert(rows[:half], faults, lost)
        self._insert(rows[half:], faults, lost)

    def _refused(self, rows: Sequence[Row]) -> DBAPIError | None:
        """What the database says against these rows; None where they are in."""
        columns = self._columns
        if self._named is not None:
            columns = [*columns, "name_key"]
            rows = [(*row, name_key(row[self._named])) for row in rows]
        try:
            with self._session.begin_nested():
                insert_rows(self._session, self._table, columns, rows)
        except (IntegrityError, DataError) as error:
            return error
        return None

    def _explain(self, row: tuple[int, Row], error: DBAPIError, faults: FaultList, lost: LostRows) -> None:
        line, values = row
        named = dict(zip(self._columns, values, strict=True))
        for column in self._table.primary_key.columns:
            lost.add(named.get(column.name))
        loose = loose_reference(self._session.connection(), self._table, named)
        if loose is None:
            self._tell(line, refusal_of(error, self._table), faults)
        elif not lost.may_hold(loose.table, loose.key):
            self._tell(line, loose, faults)

    def _tell(self, line: int, refusal: RowRefused, faults: FaultList) -> None:
        faults.add(self._file, refusal.reason, refusal.remedy, line=line, column=refusal.column)
