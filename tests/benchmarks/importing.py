"""How long it takes to take 100,000 arrivals in, against csv.DictReader and raw sqlite3.executemany.

Two floors are given: the same rows put into a bare table without keys, constraints or indexes, and into the table
that obslog keeps, with its keys made beforehand.
"""

import csv
import random
import sqlite3
import tempfile
import time
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from obslog.club.sheets.arrivals_files import import_arrivals
from obslog.exchange.arrivals_rows import COLUMNS
from obslog.records.opening import open_database
from tests.benchmarks.measuring import Report

ARRIVALS, RUNS = 100_000, 3


def write_sheet(path: Path, arrivals: int = ARRIVALS, first: date = date(2010, 1, 1)) -> None:
    """Three mounts, every night from the first on, eight arrivals each."""
    chance = random.Random(1)
    with path.open("w", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(COLUMNS)
        for place in range(arrivals):
            setup, number = divmod(place, 8)
            night = first + timedelta(days=setup // 3)
            at = datetime(night.year, night.month, night.day, 20, tzinfo=UTC) + timedelta(minutes=5 * number)
            writer.writerow(
                [
                    night, 1, "Tarn", f"Observer {setup % 3}", f"Mount {setup % 3}", "Long tube",
                    f"{at:%Y-%m-%dT%H:%M:%SZ}",
                    "check" if number else "sync", f"star {number}", round(chance.random() * 24, 6),
                    round(chance.random() * 90, 6), chance.choice(["east", "west"]), round(chance.gauss(0, 10), 3),
                    round(chance.gauss(0, 10), 3), "", 42.0, 0.3, "",
                ]
            )  # fmt: skip


def bare_seconds(sheet: Path, folder: Path) -> float:
    """csv.DictReader, and executemany into a bare table."""
    start = time.process_time()
    with sheet.open(newline="") as file:
        rows = [tuple(row[column] for column in COLUMNS) for row in csv.DictReader(file)]
    with closing(_connection(folder / "bare.db")) as connection:
        connection.execute("DROP TABLE IF EXISTS arrivals")
        connection.execute(f"CREATE TABLE arrivals ({','.join(COLUMNS)})")
        with connection:
            connection.executemany(f"INSERT INTO arrivals VALUES ({','.join('?' * len(COLUMNS))})", rows)
    return time.process_time() - start


def same_table_seconds(sheet: Path, filled: Path, folder: Path) -> float:
    """csv.DictReader, and executemany of the rows that obslog made of the sheet into a table like obslog's."""
    copy = folder / "same.db"
    copy.unlink(missing_ok=True)
    copy.write_bytes(filled.read_bytes())
    with closing(_connection(copy)) as connection:
        rows = connection.execute("SELECT * FROM arrivals").fetchall()
        with connection:
            connection.execute("DELETE FROM arrivals")
        start = time.process_time()
        with sheet.open(newline="") as file:
            for row in csv.DictReader(file):
                tuple(row[column] for column in COLUMNS)
        with connection:
            connection.executemany(f"INSERT INTO arrivals VALUES ({','.join('?' * len(rows[0]))})", rows)
        return time.process_time() - start


def our_seconds(sheet: Path, target: Path) -> float:
    for file in target.parent.glob(f"{target.name}*"):
        file.unlink()
    now = datetime.now(UTC)
    database = open_database(str(target), now, lambda _text: None)
    start = time.process_time()
    taken = import_arrivals(database, sheet, now, create=True)
    seconds = time.process_time() - start
    database.close()
    assert taken.added == ARRIVALS
    return seconds


def main(report: Report) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sheet, target = folder / "sheet.csv", folder / "ours.db"
        write_sheet(sheet)
        sides = (
            lambda: our_seconds(sheet, target),
            lambda: bare_seconds(sheet, folder),
            lambda: same_table_seconds(sheet, target, folder),
        )
        for side in sides:
            side()  # warm
        turns = [[side() for side in sides] for _ in range(RUNS)]
        ours, bare, same = (min(times) for times in zip(*turns, strict=True))
        what = f"taking in {ARRIVALS:,} arrivals"
        report.add(
            what, "`csv.DictReader` and `sqlite3.executemany` into a bare table", ours / bare, at_most=4
        )
        report.add(
            "the same",
            "the same into obslog's own table, its keys, indexes and checks, keys ready",
            ours / same,
        )


def _connection(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path)
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON"):
        connection.execute(f"PRAGMA {pragma}")
    return connection
