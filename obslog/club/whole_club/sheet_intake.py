"""One sheet of the folder into its table, a part at a time, with every fault of every row."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from sqlalchemy import Table
from sqlalchemy.orm import Session

from obslog.club.whole_club.row_loader import LostRows, RowLoader
from obslog.club.whole_club.sheet_tables import LEFT_OUT_COLUMNS, sheet_of
from obslog.club.whole_club.typed_checks import check_of
from obslog.errors import nearest_names
from obslog.exchange.package.cells_in import CellFault, ColumnReader
from obslog.exchange.package.faults import FaultList
from obslog.exchange.package.folder import Resource
from obslog.exchange.package.sheet_file import (
    LONGEST_LINE,
    BadLine,
    FileFacts,
    NotToBeRead,
    SheetReader,
    plain_file,
)
from obslog.exchange.package.tables import Holds, SheetTable

CHUNK = 5000
_MOST_BYTES = 8 << 20  # of one part
_LONGEST_LINE_OF_BYTES = 64 << 20
Tick = Callable[[int], None]
Numbered = list[tuple[int, list[str]]]


@dataclass(slots=True)
class SheetOutcome:
    """How many rows a sheet had, and in what way it is not as the description says; empty where it is."""

    rows: int = 0
    differs: str = ""


def take_sheet(
    session: Session,
    table: Table,
    folder: Path,
    resource: Resource,
    faults: FaultList,
    lost: LostRows,
    tick: Tick,
) -> SheetOutcome:
    """Put the rows of a sheet into their table; what is wrong goes to `faults`."""
    sheet = sheet_of(table)
    try:
        with plain_file(folder / resource.file) as file:
            reader = SheetReader(file, _longest_line(sheet))
            if not _heads_are_known(reader.heads, sheet, resource.file, faults):
                lost.add_sheet(table.name)
                return SheetOutcome()
            intake = _Intake(
                session=session,
                table=table,
                sheet=sheet,
                file=resource.file,
                heads=reader.heads,
                faults=faults,
                lost=lost,
            )
            if intake.take_all(reader, tick):
                return SheetOutcome(reader.facts.rows, _difference(reader.facts, resource))
    except NotToBeRead as error:
        faults.add(resource.file, error.reason, error.remedy)
        lost.add_sheet(table.name)
    except BadLine as error:
        faults.add(resource.file, error.reason, error.remedy, line=error.line)
        lost.add_sheet(table.name)
    return SheetOutcome()


def _longest_line(sheet: SheetTable) -> int:
    has_bytes = any(column.holds is Holds.BYTES for column in sheet.columns)
    return _LONGEST_LINE_OF_BYTES if has_bytes else LONGEST_LINE


@dataclass(slots=True, kw_only=True)
class _Intake:
    """Rows gathered until there are enough of them, read a column at a time, and inserted."""

    session: Session
    table: Table
    sheet: SheetTable
    file: str
    heads: list[str]
    faults: FaultList
    lost: LostRows
    waiting: Numbered = field(default_factory=list)
    loader: RowLoader = field(init=False)
    readers: list[ColumnReader] = field(init=False)

    def __post_init__(self) -> None:
        self.loader = RowLoader(self.session, self.table, self.file, self.heads)
        self.readers = [
            ColumnReader(self.sheet.column(head), check_of(self.sheet.name, head)) for head in self.heads
        ]

    def take_all(self, reader: SheetReader, tick: Tick) -> bool:
        """Whether it came to the sheet's end, a part at a time: with as many faults as are told it goes no further."""
        loaded = 0
        for line, cells in reader.rows():
            self.add(line, cells)
            if len(self.waiting) >= CHUNK or reader.bytes_read - loaded >= _MOST_BYTES:
                self.load(tick)
                loaded = reader.bytes_read
            if self.faults.is_full:
                return False
        self.load(tick)
        self.loader.tie(self.faults, self.lost)
        return True

    def add(self, line: int, cells: list[str]) -> None:
        if len(cells) != len(self.heads):
            self.faults.add(
                self.file,
                f"has {len(cells)} cells, but the head has {len(self.heads)}.",
                "See whether a comma or a quote is missing.",
                line=line,
            )
            self.lost.add_sheet(self.sheet.name)  # nobody can tell which row this was
            return
        self.waiting.append((line, cells))

    def load(self, tick: Tick) -> None:
        if not self.waiting:
            return
        lines = [line for line, _ in self.waiting]
        columns = list(zip(*(cells for _, cells in self.waiting), strict=True))
        bad: set[int] = set()
        values = [
            self._column(head, reader, cells, lines, bad)
            for head, reader, cells in zip(self.heads, self.readers, columns, strict=True)
        ]
        rows = list(zip(lines, zip(*values, strict=True), strict=True))
        if bad:
            self._lose(columns, bad)
            rows = [row for place, row in enumerate(rows) if place not in bad]
        self.loader.load(rows, self.faults, self.lost)
        tick(len(lines))
        self.waiting = []

    def _column(
        self, head: str, reader: ColumnReader, cells: Sequence[str], lines: list[int], bad: set[int]
    ) -> list[Any]:
        wrong: list[CellFault] = []
        values = reader.read(cells, wrong)
        for fault in wrong:
            bad.add(fault.place)
            self.faults.add(self.file, fault.reason, fault.remedy, line=lines[fault.place], column=head)
        return values

    def _lose(self, columns: Sequence[Sequence[str]], bad: set[int]) -> None:
        """Keep in mind the keys of rows with a wrong cell: what refers to them is not to blame."""
        for key in self.sheet.key:
            for place in bad:
                self.lost.add(columns[self.heads.index(key)][place])


def _heads_are_known(heads: list[str], sheet: SheetTable, file: str, faults: FaultList) -> bool:
    """Whether every column is one of the table's, each once, and none is missing that may not be."""
    before = len(faults)
    for head in dict.fromkeys(heads):
        if head in LEFT_OUT_COLUMNS:
            faults.add(
                file, f"is {LEFT_OUT_COLUMNS[head]}.", "Take the column out.", line=1, column=head[:40]
            )
        elif head not in sheet.column_names:
            near = nearest_names(head[:200], sheet.column_names, most=1)
            meant = f"Is it meant to be {near[0]}? Else take it out." if near else "Take the column out."
            faults.add(file, f"is no column of {sheet.name}.", meant, line=1, column=repr(head[:40]))
        elif heads.count(head) > 1:
            faults.add(file, "stands twice in the head.", "Keep one of the two.", line=1, column=head)
    for column in sheet.columns:
        if column.name not in heads and (column.needed or column.name in sheet.key):
            faults.add(
                file, "is not in the head, but it is needed.", "Put it back.", line=1, column=column.name
            )
    return len(faults) == before


def _difference(facts: FileFacts, resource: Resource) -> str:
    """How the file differs from what the description says of it; empty where it does not."""
    told = []
    if resource.rows is not None and resource.rows != facts.rows:
        told.append(f"has {facts.rows} rows, not {resource.rows}")
    if resource.bytes is not None and resource.bytes != facts.bytes:
        told.append(f"has {facts.bytes} bytes, not {resource.bytes}")
    if resource.hash is None:
        told.append("has no hash in the description")
    elif resource.hash.lower() != f"sha256:{facts.sha256}":
        told.append("has another hash than the description says")
    return f"{', '.join(told)}." if told else ""
