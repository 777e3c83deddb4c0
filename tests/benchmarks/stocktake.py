"""A stocktake of 2,000 items: how long a tick takes from the scanner to the disk, and what finishing costs."""

import io
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from contextlib import closing, redirect_stderr, redirect_stdout
from datetime import UTC, datetime, timedelta
from pathlib import Path
from unittest.mock import patch

from obslog.cli.main import main as program
from obslog.club.shelves.counting import saw, start
from obslog.club.shelves.finishing import finish
from obslog.club.shelves.standing import standing
from obslog.club.storeroom.kits import add_kit
from obslog.records.database import Database
from obslog.records.history.noted_rows import insert_noted
from obslog.records.opening import open_database
from obslog.records.tables.base import name_key
from obslog.records.tables.keys import new_key
from obslog.records.tables.logbook_tables import Item
from obslog.records.tables.storeroom import Paper
from tests.benchmarks.measuring import Report

ITEMS, KITS, PLACES, MISSED = 2000, 50, 40, 20
SCANNED = 300
NOW = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)
TICK = "INSERT INTO ticks VALUES (?, ?, ?)"


def main(report: Report) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        path = folder / "club.db"
        database = open_database(str(path), NOW, lambda _: None)
        _put_items(database)
        start(database, NOW)
        _ticks(report, database, folder)
        _kits(report, database)
        _finish(report, database)
        database.close()
        _scanner(report, path)


def _put_items(database: Database) -> None:
    keys = [new_key() for _ in range(ITEMS)]
    names = [f"Item {number}" for number in range(ITEMS)]
    with database.write(NOW, "put items on record") as session:
        insert_noted(
            session,
            Item,
            [
                {"id": key, "name": name, "name_key": name_key(name), "sort": "case"}
                for key, name in zip(keys, names, strict=True)
            ],
        )
        insert_noted(
            session,
            Paper,
            [
                {
                    "id": new_key(),
                    "equipment_id": key,
                    "tag": _tag(number),
                    "place": _place(number),
                    "value": 40.0,
                }
                for number, key in enumerate(keys)
            ],
        )
    for number in range(KITS):
        add_kit(database, f"Kit {number}", ["dew cap", "power lead", "case"], NOW)


def _tag(number: int) -> str:
    return f"T-{number:04}"


def _place(number: int) -> str:
    return f"shelf {number % PLACES}"


def _ticks(report: Report, database: Database, folder: Path) -> None:
    """All items but a few, each tick on the disk before the next; and the same number of bare rows in turn."""
    numbers = range(ITEMS - MISSED)
    with closing(sqlite3.connect(folder / "bare.db")) as bare:
        bare.execute("PRAGMA journal_mode = WAL")
        bare.execute("CREATE TABLE ticks (id TEXT PRIMARY KEY, tag TEXT, seen_utc TEXT) STRICT")

        def plain(number: int) -> None:
            with bare:
                bare.execute(TICK, (str(new_key()), _tag(number), NOW.isoformat()))

        def tick(number: int) -> None:
            saw(database, _tag(number), NOW + timedelta(seconds=number), place=_place(number))

        clock, mine, theirs = _timed([tick, plain], numbers)
    report.add(
        f"a tick among {ITEMS:,} items, 95 % of them within", "", _of(mine, 0.95), at_most=50, unit=" ms"
    )
    report.add("the same, by the clock", "", _of(clock, 0.95), at_most=50, unit=" ms")
    report.add(
        "the same, the middle one", "a bare row inserted and committed", _of(mine, 0.5) / _of(theirs, 0.5)
    )
    first, last = mine[50:250], mine[-200:]
    report.add(
        "the last 200 ticks of it", "200 of the first, the middle one of each", _of(last, 0.5) / _of(first, 0.5),
        at_most=1.5,
    )  # fmt: skip


def _timed(
    works: Sequence[Callable[[int], None]], numbers: range
) -> tuple[list[float], list[float], list[float]]:
    """The clock's time of the first work, and the processor time of each, in milliseconds; taken in turn."""
    clock: list[float] = []
    took: list[list[float]] = [[] for _ in works]
    for number in numbers:
        for place, work in enumerate(works):
            before, at = time.process_time(), time.perf_counter()
            work(number)
            took[place].append(1000 * (time.process_time() - before))
            if place == 0:
                clock.append(1000 * (time.perf_counter() - at))
    return clock, took[0], took[1]


def _of(values: Sequence[float], share: float) -> float:
    return sorted(values)[int(share * len(values))]


def _kits(report: Report, database: Database) -> None:
    def look_through(number: int) -> None:
        saw(database, f"Kit {number}", NOW, without=["dew cap"] if number % 10 == 0 else [])

    _, took, _ = _timed([look_through, lambda _number: None], range(KITS))
    report.add("looking through a kit, 95 % of them within", "", _of(took, 0.95), at_most=50, unit=" ms")


def _finish(report: Report, database: Database) -> None:
    standing(database)
    looking = min(_ms(lambda: standing(database)) for _ in range(3))
    finishing = _ms(lambda: finish(database, NOW + timedelta(days=1)))
    shown = min(_ms(lambda: standing(database)) for _ in range(3))
    report.add(f"finishing it, {MISSED} not found", "looking at it", finishing / looking, at_most=20)
    report.add("the same", "", finishing, unit=" ms")
    report.add(
        "looking at it once it is finished", "looking at it while it is open", shown / looking, at_most=2
    )


def _ms(work: Callable[[], object]) -> float:
    before = time.process_time()
    work()
    return 1000 * (time.process_time() - before)


def _scanner(report: Report, path: Path) -> None:
    """What a scanner types into `stocktake saw`: the whole command, its start left out, by the line."""
    environment = {"OBSLOG_DB": str(path), "OBSLOG_CONFIG": str(path.with_name("settings"))}

    def typed(lines: int) -> float:
        tags = "".join(f"{_tag(number)}\n" for number in range(lines))
        heard = io.StringIO()
        with patch.object(sys, "stdin", io.StringIO(tags)), redirect_stdout(heard), redirect_stderr(heard):
            return _ms(lambda: program(["stocktake", "saw"], lambda: NOW, environment))

    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
        program(["stocktake", "start"], lambda: NOW, environment)
    typed(1)
    one = typed(1)
    report.add(
        "`stocktake saw`, a line of a scanner",
        "",
        (typed(SCANNED) - one) / (SCANNED - 1),
        at_most=50,
        unit=" ms",
    )
