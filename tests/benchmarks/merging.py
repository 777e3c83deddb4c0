"""How long 100,000 arrivals take from one club file into a bundle and out of it into another.

Against raw sqlite3.executemany of the same rows, into a bare table and into the table that obslog keeps.
"""

import sqlite3
import tempfile
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from obslog.club.sheets.arrivals_files import import_arrivals
from obslog.club.together.merging import merge_bundles
from obslog.club.together.writing import WhatToTell, write_bundle_to
from obslog.records.database import Database
from obslog.records.opening import open_database
from tests.benchmarks.importing import write_sheet
from tests.benchmarks.measuring import Report, in_turn

ARRIVALS = 100_000


def _open(place: Path) -> Database:
    return open_database(str(place), datetime.now(UTC), lambda _text: None)


def put(filled: Path, place: Path, *, bare: bool) -> None:
    """The arrivals of a file into a table, bare or as obslog has it."""
    place.unlink(missing_ok=True)
    if not bare:
        place.write_bytes(filled.read_bytes())
    with closing(sqlite3.connect(filled)) as source, closing(sqlite3.connect(place)) as connection:
        rows = source.execute("SELECT * FROM arrivals").fetchall()
        if bare:
            connection.execute(f"CREATE TABLE arrivals ({','.join(f'c{n}' for n in range(len(rows[0])))})")
        else:
            connection.execute("DELETE FROM arrivals")
        with connection:
            connection.executemany(f"INSERT INTO arrivals VALUES ({','.join('?' * len(rows[0]))})", rows)


def through_a_bundle(source: Database, folder: Path) -> None:
    """Everything of a club into a bundle, and out of it into a new file."""
    bundle, target = folder / "all.bundle", folder / "target.db"
    bundle.unlink(missing_ok=True)
    for file in folder.glob("target.db*"):
        file.unlink()
    now = datetime.now(UTC)
    write_bundle_to(source, bundle, WhatToTell(), now)
    database = _open(target)
    merged = merge_bundles(database, [bundle], now)
    database.close()
    assert merged.came["arrival"] == ARRIVALS


def main(report: Report) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        filled = folder / "filled.db"
        source = _open(filled)
        write_sheet(folder / "sheet.csv")
        import_arrivals(source, folder / "sheet.csv", datetime.now(UTC), create=True)
        source.close()
        source = _open(filled)
        through, bare, same = in_turn(
            (
                lambda: through_a_bundle(source, folder),
                lambda: put(filled, folder / "raw.db", bare=True),
                lambda: put(filled, folder / "raw.db", bare=False),
            )
        )
        source.close()
    what = f"writing and merging a bundle of {ARRIVALS:,} arrivals"
    report.add(
        what, "`sqlite3.executemany` of the same rows into obslog's own table", through / same, at_most=6
    )
    report.add("the same", "the same into a bare table", through / bare)
