"""What the history costs: acts with it and without it, a club's sheet against raw SQL, and taking a sheet back."""

import csv
import gc
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

from sqlalchemy.orm import Session

from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.nights import end_night, start_night
from obslog.club.night.open_night import NightChoice, NoOpenNight, SetupChoice
from obslog.club.night.setups import start_setup
from obslog.club.register.named_records import add
from obslog.records.database import Database
from obslog.records.opening import open_database
from obslog.vocabulary.arrivals import Role
from tests.benchmarks.measuring import Report, seconds
from tests.benchmarks.sheet_times import sheet_times

NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
ACTS, ROWS, RUNS = 60, 5000, 3
HEADS = ("name", "kind", "category", "value", "place", "note")
COPIED = ("equipment", "items", "papers")


class WithoutHistory(Database):
    """A database of which no act is kept."""

    @contextmanager
    def write(self, now: datetime, _sentence: str | None = None) -> Iterator[Session]:
        with super().write(now) as session:
            yield session


def opened(path: Path) -> Database:
    for file in path.parent.glob(f"{path.name}*"):
        file.unlink()
    return open_database(str(path), NOW, lambda _text: None)


def prepared(path: Path, *, history: bool) -> Database:
    """A club with a night and a set-up."""
    database = opened(path)
    add(database, "site", "Mill Field", {"lat_deg": 52.2, "lon_deg": 0.1, "zone": "Europe/London"}, NOW)
    add(database, "mount", "Heron", {}, NOW)
    start_night(database, "Mill Field", NOW)
    start_setup(database, "Heron", NOW)
    return database if history else WithoutHistory(database.engine, database.where)


def arrivals(database: Database, run: int) -> None:
    for number in range(ACTS):
        at = NOW + timedelta(seconds=run * ACTS + number)
        record_arrival(database, Role.CHECK, ArrivalEntry(target="Regulus"), SetupChoice(), at, sure=True)


def nights(database: Database, run: int) -> None:
    with suppress(NoOpenNight):  # the night of the club as it was prepared
        end_night(database, NightChoice(), NOW + timedelta(hours=1))
    for number in range(ACTS):
        evening = NOW + timedelta(days=run * ACTS + number + 1)
        start_night(database, "Mill Field", evening)
        end_night(database, NightChoice(), evening + timedelta(hours=1))


def twice(folder: Path, act: Callable[[Database, int], None]) -> float:
    """The acts with the history against the same without it, the best of each."""
    best = []
    for history in (True, False):
        times = []
        for run in range(RUNS + 1):
            database = prepared(folder / "acts.db", history=history)
            act(database, run)  # warm
            times.append(seconds(lambda database=database, run=run: act(database, run + 1)))  # type: ignore[misc]
            database.close()
        best.append(min(times))
    return best[0] / best[1]


def write_sheet(path: Path) -> None:
    with path.open("w", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(HEADS)
        for number in range(ROWS):
            writer.writerow(
                [f"Filter {number}", "item", "filter", 10 + number % 90, f"Shelf {number % 9}", "blue"]
            )


def main(report: Report) -> None:
    gc.set_threshold(400_000, 20, 20)  # as the program has it
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for what, act in (
            (f"recording {ACTS} arrivals", arrivals),
            (f"{ACTS} nights begun and ended", nights),
        ):
            report.add(what, "the same without a history", twice(folder, act), at_most=1.6)
        _sheets(report, folder)


def _sheets(report: Report, folder: Path) -> None:
    sheet = folder / "items.csv"
    write_sheet(sheet)
    times = sheet_times(lambda: opened(folder / "club.db"), "items", sheet, COPIED)
    what = f"a club's sheet of {ROWS:,} items"
    report.add(
        what, "`csv.DictReader` and `executemany` into the same tables", times.taken / times.raw, at_most=4
    )
    report.add("taking it back", "taking it in", times.back / times.taken, at_most=1)
    report.add("doing it again", "taking it in", times.again / times.taken, at_most=1)
    report.add("taking it back", "", times.back, unit=" s")
