"""How long one waits for the answers after a line, in a program that goes on running: demo club and twenty years.

Processor time of one line's answers, typed in arrival by arrival; 95 of 100 lines take at most what is printed.
"""

import tempfile
import time
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np

from obslog.club.keeping import keep_results, mounts_to_keep
from obslog.club.live.answers_now import answers_now
from obslog.club.live.situation import LiveMemory
from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.nights import end_night, start_night
from obslog.club.night.open_night import NightChoice, SetupChoice
from obslog.club.night.setups import start_setup
from obslog.offsets import read_offset_or_landing
from obslog.records.database import Database
from obslog.records.opening import open_database
from obslog.vocabulary.arrivals import Role
from seed_demo.load import fill
from tests.benchmarks.big_club import Size, make_club
from tests.benchmarks.measuring import Report
from tests.benchmarks.new_night import CHECKS, SYNCS

LAST_NIGHT = date(2026, 3, 1)
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
DUSK = datetime(2026, 3, 2, 20, 30, tzinfo=UTC)
MOUNTS = {
    "Bramble": "Patched eight",
    "Thistledown": "Feather",
    "Pepperpot": "Pepper five",
    "Tortoise": "Fork nine",
}
SITE = "Lantern Ford green"


def main(report: Report) -> None:
    with tempfile.TemporaryDirectory() as name:
        for words, make in (
            ("the demo club", lambda database: fill(database, LAST_NIGHT, NOON, lambda _done: None)),
            ("a club of twenty years", lambda database: make_club(database, LAST_NIGHT, Size())),
        ):
            _measure(report, words, Path(name) / f"{words.replace(' ', '-')}.db", make)


def _measure(report: Report, words: str, path: Path, make: Callable[[Database], object]) -> None:
    database = open_database(str(path), NOON, lambda _: None)
    make(database)
    first, lines = [], []
    for place, (mount, tube) in enumerate(MOUNTS.items()):
        for _ in keep_results(database, mounts_to_keep(database)):
            pass  # as every night ends
        taken = _an_evening(database, mount, tube, DUSK + timedelta(days=place), np.random.default_rng(place))
        first.append(taken[0])
        lines += taken[1:]
    database.close()
    report.add(
        f"the answers after a line in {words}, 95 of 100, processor time", "", 1e3 * float(np.quantile(lines, 0.95)),
        at_most=300, unit=" ms",
    )  # fmt: skip
    report.add("the same when a set-up has begun", "", 1e3 * float(np.median(first)), at_most=300, unit=" ms")


def _an_evening(
    database: Database, mount: str, tube: str, begun: datetime, rng: np.random.Generator
) -> list[float]:
    """Seconds for the answers before the first arrival of a set-up, and after each of twelve."""
    start_night(database, SITE, begun)
    start_setup(database, mount, begun, tube=tube)
    choice, memory, taken = SetupChoice(mount=mount), LiveMemory(), []
    for place, star in enumerate(("", *SYNCS, *CHECKS)):
        now = begun + timedelta(minutes=6 * place)
        if star:
            east, north = rng.normal(0.0, 6.0, 2)
            where = f"{abs(east):.1f}{'E' if east > 0 else 'W'} {abs(north):.1f}{'N' if north > 0 else 'S'}"
            entry = ArrivalEntry(target=star, where=read_offset_or_landing(where))
            role = Role.SYNC if star in SYNCS else Role.CHECK
            record_arrival(database, role, entry, choice, now, sure=True)
        start = time.process_time()
        answers_now(database, choice, now, memory=memory)
        taken.append(time.process_time() - start)
    end_night(database, NightChoice(), begun + timedelta(hours=3))
    return taken
