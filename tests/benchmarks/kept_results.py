"""What commands cost in a club of twenty years, with what was computed before kept in the database."""

import random
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from functools import partial
from itertools import count
from pathlib import Path

from obslog.records.opening import open_database
from tests.benchmarks.big_club import Size, make_club
from tests.benchmarks.measuring import Report
from tests.benchmarks.new_night import Evening, add_night
from tests.benchmarks.startup import SKY_AND_RECORDS, environment_of, seconds_of

LAST_NIGHT = date(2026, 3, 2)
EVENING = "2026-03-30T21:00Z"
RUNS, NEW_NIGHTS = 5, 3
BRAMBLE = Evening(
    site="Owlpenny Edge",
    mount="Bramble",
    tube="Patched eight",
    observer="Maud Ellery",
    eyepiece="Workaday 26",
)
TWENTY_YEARS = Size()
TENTH = Size(setups=680, years=2)
SITE = ["--site", "Owlpenny Edge", "--at", EVENING]
COMMANDS = {
    "brief": ["brief", "--mount", "Bramble", *SITE],
    "checklist": ["checklist", "Bramble", *SITE],
    "review": ["review"],
    "pointing trend": ["pointing", "trend", "Bramble"],
    "pointing fit": ["pointing", "fit", "Bramble"],
}
AGAINST_IMPORTS = {"checklist": 1.8, "pointing trend": 1.8, "brief": 2.5}


def main(report: Report) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        demo = environment_of(folder, "demo.db")
        subprocess.run(
            [*_obslog("demo"), "--into", demo["OBSLOG_DB"]], env=demo, check=True, capture_output=True
        )
        twenty, tenth = (
            environment_of(folder, _club(folder / file, size).name)
            for file, size in (("twenty.db", TWENTY_YEARS), ("tenth.db", TENTH))
        )
        path, nights = Path(twenty["OBSLOG_DB"]), (LAST_NIGHT + timedelta(days=day) for day in count(1))

        chance = random.Random(1)

        def one_more_night() -> None:
            add_night(path, BRAMBLE, next(nights), chance)

        for what, words in COMMANDS.items():
            ours = _obslog(*words)
            kept = f"{what}, 20 years, kept"
            _row(report, kept, "the same in the demo club", 1.3, (ours, twenty), (ours, demo))
            _row(report, kept, "a tenth of the nights", 1.2, (ours, twenty), (ours, tenth))
            if what in AGAINST_IMPORTS:
                bare = [sys.executable, "-c", SKY_AND_RECORDS]
                _row(
                    report,
                    kept,
                    f"`{SKY_AND_RECORDS}`",
                    AGAINST_IMPORTS[what],
                    (ours, twenty),
                    (bare, twenty),
                )
        for what, words in COMMANDS.items():
            ours = _obslog(*words)
            new = f"{what}, 20 years, after one new night"
            both = (ours, twenty), (ours, twenty)
            _row(report, new, "nothing is new", 1.6, *both, before_ours=one_more_night, runs=NEW_NIGHTS)
            edited, change = f"{what}, 20 years, after an edit of its mount", partial(_edit, path)
            _row(report, edited, "nothing is new", None, *both, before_ours=change)


Side = tuple[Sequence[str], dict[str, str]]


def _row(
    report: Report,
    what: str,
    against: str,
    limit: float | None,
    ours: Side,
    theirs: Side,
    before_ours: Callable[[], object] = lambda: None,
    runs: int = RUNS,
) -> None:
    """Both once, so that all is kept that can be; then in turn, the best of each."""
    pairs = []
    for _ in range(runs + 1):
        before_ours()
        pairs.append((seconds_of(*ours), seconds_of(*theirs)))
    mine, others = (min(times) for times in zip(*pairs[1:], strict=True))
    report.add(f"{what}, whole process", against, mine / others, at_most=limit)


def _obslog(*words: str) -> list[str]:
    return [sys.executable, "-m", "obslog", *words]


def _club(path: Path, size: Size) -> Path:
    database = open_database(str(path), datetime(2026, 3, 3, tzinfo=UTC), lambda _: None)
    make_club(database, LAST_NIGHT, size)
    database.close()
    return path


def _edit(path: Path) -> None:
    """Another offset in the newest set-up of the mount that is asked about, with nothing computed ahead."""
    with closing(sqlite3.connect(path)) as file:
        file.execute(
            "UPDATE arrivals SET offset_east_arcmin = offset_east_arcmin + 0.01 WHERE id = (SELECT arrivals.id "
            "FROM arrivals JOIN setups ON setup_id = setups.id JOIN equipment ON equipment.id = mount_id "
            "WHERE name = 'Bramble' AND offset_east_arcmin IS NOT NULL ORDER BY at_utc DESC LIMIT 1)"
        )
        file.commit()
