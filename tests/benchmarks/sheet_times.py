"""Taking a club's sheet in, back and in again, against csv.DictReader and executemany into tables like obslog's."""

import csv
import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from obslog.club.bring_in.bring_in import bring_in
from obslog.club.register.undo import redo, undo
from obslog.records.database import Database
from tests.benchmarks.measuring import seconds

NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
RUNS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetTimes:
    """The best time of each, in seconds of processor time; `raw` is what the others are measured by."""

    taken: float
    raw: float
    back: float
    again: float


def sheet_times(opened: Callable[[], Database], kind: str, sheet: Path, tables: Sequence[str]) -> SheetTimes:
    """Each side in turn, the first time to warm up; `opened` gives a club into which the sheet has not come yet.

    The raw side puts into `tables` what the sheet added to them, so those that the sheet names come first.
    """
    taken, raw, back, again = [], [], [], []
    for _ in range(RUNS + 1):
        database = opened()
        path = Path(str(database.engine.url.database))
        before = _rows(path, tables)
        taken.append(seconds(lambda database=database: bring_in(database, kind, sheet, NOW)))  # type: ignore[misc]
        raw.append(_raw_seconds(sheet, path, before))
        back.append(seconds(lambda database=database: undo(database, NOW)))  # type: ignore[misc]
        again.append(seconds(lambda database=database: redo(database, NOW)))  # type: ignore[misc]
        database.close()
    return SheetTimes(taken=min(taken[1:]), raw=min(raw[1:]), back=min(back[1:]), again=min(again[1:]))


def _rows(path: Path, tables: Sequence[str]) -> dict[str, set[tuple[object, ...]]]:
    with closing(sqlite3.connect(path)) as file:
        return {name: set(file.execute(f"SELECT * FROM {name}").fetchall()) for name in tables}


def _raw_seconds(sheet: Path, filled: Path, before: dict[str, set[tuple[object, ...]]]) -> float:
    """csv.DictReader, and executemany of the rows that came in, into a copy that does not have them."""
    copy = filled.with_name("copy.db")
    with closing(sqlite3.connect(filled)) as file:
        file.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    copy.write_bytes(filled.read_bytes())
    with closing(sqlite3.connect(copy)) as connection:
        connection.execute("PRAGMA foreign_keys=ON")  # as the program has it
        rows = {
            name: [row for row in connection.execute(f"SELECT * FROM {name}") if row not in there]
            for name, there in before.items()
        }
        with connection:
            for name in reversed(rows):
                key = connection.execute(f"SELECT name FROM pragma_table_info('{name}')").fetchone()[0]
                connection.executemany(f"DELETE FROM {name} WHERE {key} = ?", [row[:1] for row in rows[name]])

        def work() -> None:
            with sheet.open(newline="") as file:
                reader = csv.DictReader(file)
                for row in reader:
                    tuple(row[head] for head in reader.fieldnames or ())
            with connection:
                for name, found in rows.items():
                    places = ",".join("?" * len(found[0]))
                    connection.executemany(f"INSERT INTO {name} VALUES ({places})", found)

        return seconds(work)
