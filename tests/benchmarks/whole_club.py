"""How long it takes to bring a club of 100,000 arrivals in from its folder of sheets, and to write that folder.

Coming in is set against csv and sqlite3.executemany of the same rows into the same tables, with their keys, indexes,
checks and triggers; going out against csv.writer of what SQLite gives.
"""

import csv
import sqlite3
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from itertools import count
from pathlib import Path

from obslog.club.whole_club.export_all import export_all
from obslog.club.whole_club.import_all import import_all
from obslog.club.whole_club.sheet_tables import tables_to_go
from obslog.records.database import Database
from obslog.records.opening import open_database
from tests.benchmarks.importing import ARRIVALS, our_seconds, write_sheet
from tests.benchmarks.measuring import Report

RUNS = 3
NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
_numbers = count(1)


def _new(folder: Path) -> Database:
    return open_database(str(folder / f"new{next(_numbers)}.db"), NOW, lambda _text: None)


def _taken(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def brought_in_seconds(sheets: Path, folder: Path) -> float:
    database = _new(folder)
    seconds = _taken(lambda: import_all(database, sheets, NOW))
    database.close()
    return seconds


def bare_in_seconds(sheets: Path, filled: Path, folder: Path) -> float:
    """Every sheet read by csv, and the rows as they are kept put into tables like obslog's."""
    target = _new(folder)
    target.close()
    names = [table.name for table in tables_to_go(with_private=True)]
    with closing(sqlite3.connect(filled)) as source, closing(sqlite3.connect(target.where)) as connection:
        rows = {name: source.execute(f"SELECT * FROM {name}").fetchall() for name in names}
        connection.execute("PRAGMA foreign_keys=ON")
        csv.field_size_limit(64 << 20)
        start = time.process_time()
        with connection:
            for name in names:
                with (sheets / f"{name}.csv").open(newline="", encoding="utf-8") as file:
                    for _row in csv.reader(file):
                        pass
                if rows[name]:
                    marks = ",".join("?" * len(rows[name][0]))
                    connection.executemany(f"INSERT INTO {name} VALUES ({marks})", rows[name])
        return time.process_time() - start


def written_seconds(filled: Path, folder: Path) -> float:
    database = open_database(str(filled), NOW, lambda _text: None)
    seconds = _taken(lambda: export_all(database, folder / f"out{next(_numbers)}", NOW, with_private=True))
    database.close()
    return seconds


def bare_out_seconds(filled: Path, folder: Path) -> float:
    """csv.writer of all that the tables hold."""
    start = time.process_time()
    with closing(sqlite3.connect(filled)) as connection:
        for table in tables_to_go(with_private=True):
            with (folder / "bare.csv").open("w", newline="", encoding="utf-8") as file:
                csv.writer(file).writerows(connection.execute(f"SELECT * FROM {table.name}"))
    return time.process_time() - start


def main(report: Report) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sheet, filled = folder / "sheet.csv", folder / "club.db"
        write_sheet(sheet)
        our_seconds(sheet, filled)
        database = open_database(str(filled), NOW, lambda _text: None)
        export_all(database, folder / "sheets", NOW, with_private=True)
        database.close()
        sides = (
            lambda: brought_in_seconds(folder / "sheets", folder),
            lambda: bare_in_seconds(folder / "sheets", filled, folder),
            lambda: written_seconds(filled, folder),
            lambda: bare_out_seconds(filled, folder),
        )
        turns = [[side() for side in sides] for _ in range(RUNS)]
        came_in, bare_in, went_out, bare_out = (min(times) for times in zip(*turns, strict=True))
        report.add(
            f"a club of {ARRIVALS:,} arrivals in from its folder of sheets",
            "`csv.reader` and `sqlite3.executemany` into the same tables, values ready",
            came_in / bare_in,
            at_most=3,
        )
        report.add(
            "the same club out into its folder",
            "`csv.writer` of what SQLite gives",
            went_out / bare_out,
            at_most=4,
        )
