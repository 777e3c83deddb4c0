"""A spreadsheet as rows of values, with every fault of every row; nothing here knows what is on record."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

from obslog.exchange.arrivals_rows import Fault
from obslog.exchange.spreadsheets.cell_dates import CellReading, DateOrder, date_order
from obslog.exchange.spreadsheets.cells import Value, cell_value, is_blank
from obslog.exchange.spreadsheets.columns import Column, Reads, SheetKind
from obslog.exchange.spreadsheets.grid import BadCell, Cell, Row, read_grid
from obslog.exchange.spreadsheets.heads import Head, head_form, head_of, known_heads
from obslog.exchange.spreadsheets.two_names import names_joined

_NOT_READ = object()


class ValueRow(NamedTuple):
    """What a row says: its number in the spreadsheet, and the values of its cells that are not blank."""

    line: int
    values: Mapping[str, Any]


class _ColumnReader:
    """A column of the sheet: where it stands and how it is read; a cell that comes again is not read again."""

    def __init__(self, column: Column, place: int, reading: CellReading) -> None:
        self.name, self.needed, self.place = column.name, column.needed, place
        self.when_blank = column.when_blank
        self._column, self._reading = column, reading
        self.known: dict[Cell | tuple[type, Cell], Value] = {}

    def read(self, cell: Cell, key: Cell | tuple[type, Cell]) -> Value:
        """What a cell says that has not come before. Raises BadCell."""
        value = self.known[key] = cell_value(self._column, cell, self._reading)
        return value


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A spreadsheet read: its rows, its faults, and the heads that were left out with what they may mean."""

    name: str
    rows: Sequence[ValueRow]
    faults: Sequence[Fault]
    left_out: Mapping[str, str | None]


def read_spreadsheet(
    path: Path,
    kind: SheetKind,
    today: date,
    *,
    order: DateOrder | None = None,
    worksheet: str | None = None,
    currency: str | None = None,
) -> Sheet:
    """The rows behind the head; what repeats the head further down, as printed lists do, is passed over.

    Raises NoSuchFile, UnreadableSheet, NoHead, TwoHeads.
    """
    grid: Sequence[Row] = read_grid(path, worksheet)
    if kind.name == "members":
        grid = names_joined(grid, frozenset(map(head_form, known_heads(kind.column("name")))))
    head = head_of(path.name, grid, kind)
    below = [row for row in grid if row.number > head.row]
    head_cells = next(row.cells for row in grid if row.number == head.row)
    faults: list[Fault] = []
    readings = _readings(kind, head, below, CellReading(today, order, currency), faults)
    columns = [_ColumnReader(kind.column(name), place, readings[name]) for name, place in head.places.items()]
    rows = [
        row
        for found in below
        if found.cells != head_cells and (row := _read_row(columns, found, faults)) is not None
    ]
    return Sheet(name=path.name, rows=rows, faults=faults, left_out=head.unknown)


def _readings(
    kind: SheetKind, head: Head, rows: Sequence[Row], reading: CellReading, faults: list[Fault]
) -> dict[str, CellReading]:
    """How each column is read: dates in the order asked for, or else in the one that all of the column allow."""
    readings = dict.fromkeys(head.places, reading)
    if reading.order is not None:
        return readings
    for name, place in head.places.items():
        if kind.column(name).holds in (Reads.DAY, Reads.PAST_DAY):
            try:
                readings[name] = replace(reading, order=date_order(_cell(row, place) for row in rows))
            except BadCell as error:
                faults.append(Fault(head.row, name, f"{error.message} {error.hint}"))
    return _shared_order(readings)


def _shared_order(readings: dict[str, CellReading]) -> dict[str, CellReading]:
    """A column that tells no order of its own is written as the others of the sheet are, where these agree."""
    orders = {reading.order for reading in readings.values() if reading.order is not None}
    if len(orders) != 1:
        return readings
    (order,) = orders
    return {name: replace(reading, order=order) for name, reading in readings.items()}


def _read_row(columns: Sequence[_ColumnReader], row: Row, faults: list[Fault]) -> ValueRow | None:
    """The row's values; None where it is blank in all columns, or a needed cell is wrong or missing."""
    there = row.cells
    cells = [there[column.place] if column.place < len(there) else None for column in columns]
    values: dict[str, Any] = {}
    found: list[Fault] = []
    for column, cell in zip(columns, cells, strict=True):
        key = cell if isinstance(cell, str) else (type(cell), cell)  # for True and 1 are equal
        value: Value | object = column.known.get(key, _NOT_READ)
        if value is _NOT_READ:
            try:
                value = column.read(cell, key)
            except BadCell as error:
                found.append(Fault(row.number, column.name, f"{error.message} {error.hint}"))
                continue
        if value is not None:
            values[column.name] = value
        elif column.needed:
            found.append(Fault(row.number, column.name, f"is blank, but it is needed. {column.when_blank}"))
    if not found:
        return ValueRow(row.number, values)
    if values or not all(map(is_blank, cells)):
        faults += found
    return None


def _cell(row: Row, place: int) -> Cell:
    return row.cells[place] if place < len(row.cells) else None
