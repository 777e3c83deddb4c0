"""How long a bundle of 100,000 arrivals takes to write and to read, against raw sqlite3.executemany of the rows."""

import sqlite3
import tempfile
from contextlib import closing
from io import BytesIO
from pathlib import Path
from typing import Any

from obslog.exchange.bundles.reading import read_bundle
from tests.benchmarks.measuring import Report, in_turn, peak_mb
from tests.exchange.bundles.arrivals import COLUMNS, arrival_rows, arrivals_batch, arrivals_bundle
from tests.exchange.bundles.made import ACT, NOW, bundle_of

ARRIVALS = 100_000
HEADS = ", ".join(f'"{name}"' for name in COLUMNS)


def put(rows: list[list[Any]], place: Path) -> None:
    """The rows into a bare table of a file."""
    place.unlink(missing_ok=True)
    with closing(sqlite3.connect(place)) as connection, connection:
        connection.execute(f"CREATE TABLE arrivals ({HEADS})")
        connection.executemany(f"INSERT INTO arrivals VALUES ({', '.join('?' * len(COLUMNS))})", rows)


def read_all(data: bytes) -> int:
    return sum(1 for _entry in read_bundle(BytesIO(data), NOW).entries)


def read_one_of(arrivals: int, folder: str) -> int:
    """A bundle of so many arrivals, from its file."""
    with (Path(folder) / f"{arrivals}.obslog").open("rb") as stream:
        return sum(1 for _entry in read_bundle(stream, NOW).entries)


def main(report: Report) -> None:
    rows = arrival_rows(ARRIVALS)
    batch = arrivals_batch(rows)
    data = bundle_of([ACT, batch])
    with tempfile.TemporaryDirectory() as folder:
        works = (
            lambda: put(rows, Path(folder) / "raw.db"),
            lambda: bundle_of([ACT, batch]),
            lambda: read_all(data),
        )
        raw, writing, reading = in_turn(works)
        for arrivals in (1000, ARRIVALS):
            (Path(folder) / f"{arrivals}.obslog").write_bytes(arrivals_bundle(arrivals))
        few, many = (peak_mb(__name__, "read_one_of", arrivals, folder) for arrivals in (1000, ARRIVALS))
    against = "`sqlite3.executemany` of the same rows"
    report.add(f"writing a bundle of {ARRIVALS:,} arrivals", against, writing / raw, at_most=1.5)
    report.add("reading it, every part looked at", against, reading / raw, at_most=1.5)
    report.add("memory to read it", "a bundle of 1,000", many - few, at_most=10, unit=" MB")
