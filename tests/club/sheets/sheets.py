"""Arrivals sheets for tests: a good row to start from, and what came of taking a sheet in."""

import csv
import io
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import func, select

from obslog.club.sheets.arrivals_export import SheetChoice
from obslog.club.sheets.arrivals_files import export_arrivals, import_arrivals
from obslog.exchange.arrivals_rows import SheetRefused
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Act, Arrival, Member, Mount, Night, Setup, Site, Tube

LATER = datetime(2026, 12, 31, 12, tzinfo=UTC)
GOOD = {
    "night": "2026-03-02", "setup": "1", "site": "Mill Field", "observer": "Ines", "mount": "Heron",
    "tube": "Long tube", "utc": "2026-03-02T20:41:00Z", "role": "check", "target": "Vega",
    "offset_east_arcmin": "3", "offset_north_arcmin": "-4",
}  # fmt: skip


def row(**cells: str) -> dict[str, str]:
    """The good row with some cells changed; an empty cell is a blank one."""
    return {**GOOD, **cells}


def sheet_text(*rows: dict[str, str], columns: list[str] | None = None, delimiter: str = ",") -> str:
    """The rows as CSV, with every column that one of them has."""
    names = columns or list(dict.fromkeys(name for one in (GOOD, *rows) for name in one))
    file = io.StringIO(newline="")
    writer = csv.DictWriter(file, names, restval="", extrasaction="ignore", delimiter=delimiter)
    writer.writeheader()
    writer.writerows(rows)
    return file.getvalue()


def written(folder: Path, content: str | bytes, name: str = "march.csv") -> Path:
    path = folder / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return path


def counts(database: Database) -> dict[str, int]:
    """How many records there are of what a sheet can add."""
    tables = (Site, Member, Mount, Tube, Night, Setup, Arrival, Act)
    with database.read() as session:
        return {t.__name__: session.scalar(select(func.count()).select_from(t)) or 0 for t in tables}


def faults(database: Database, path: Path, *, create: bool = False) -> list[tuple[int, str, str]]:
    """Line, column and reason of each fault; fails unless the sheet is refused and nothing is added."""
    before = counts(database)
    try:
        import_arrivals(database, path, LATER, create=create)
    except SheetRefused as refused:
        assert counts(database) == before
        return [(fault.line, fault.column, fault.reason) for fault in refused.faults]
    raise AssertionError("the sheet was taken")


def exported(database: Database, choice: SheetChoice | None = None) -> str:
    file = io.StringIO(newline="")
    export_arrivals(database, file, choice or SheetChoice())
    return file.getvalue()
