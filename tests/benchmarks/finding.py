"""How long finding words takes among 100,000 notes, inside the process, against a bare scan by the driver."""

import random
import sqlite3
import tempfile
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import cast

from sqlalchemy import Table

from obslog.club.finding import find_text
from obslog.records.bulk_insert import insert_rows
from obslog.records.opening import open_database
from obslog.records.tables.base import name_key
from obslog.records.tables.keys import new_keys_as_text
from obslog.records.tables.logbook_tables import Night, Observation, Site
from tests.benchmarks.measuring import Report, in_turn

NOTES, RUNS = 100_000, 9
NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
WORDS = (
    "soft",
    "oval",
    "glow",
    "brighter",
    "middle",
    "faint",
    "streak",
    "grainy",
    "edge",
    "naïve",
    "averted",
    "held",
)
SEARCHES = (
    "crème brulee",  # one note
    "grainy",  # nearly every note
    "naive grainy",
    "brulee grainy",  # a rare word and a common one
    "zebra",  # none
    "naive grainy zebra",
    "q",  # one letter, none
    "m 31",
)
"""Common and rare words, alone and together, and what is nowhere."""


def _note(rng: random.Random) -> str:
    """About 200 signs."""
    return " ".join(rng.choices(WORDS, k=32))


def main(report: Report) -> None:
    rng = random.Random(20260302)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bench.db"
        database = open_database(str(path), NOW, lambda _: None)
        with database.write(NOW) as session:
            site = Site(name="Mill Field", name_key=name_key("Mill Field"))
            session.add(site)
            session.flush()
            night = Night(site_id=site.id, night_of=date(2026, 3, 2))
            session.add(night)
            session.flush()
            rows = [
                (key, night.id, NOW - timedelta(seconds=n), f"NGC {n % 7840}", "seen", _note(rng))
                for n, key in enumerate(new_keys_as_text(NOTES))
            ]
            rows[NOTES // 2] = (*rows[NOTES // 2][:-1], "the only Crème brûlée in the sky")
            columns = ("id", "night_id", "at_utc", "target", "sighting", "description")
            insert_rows(session, cast(Table, Observation.__table__), columns, rows)
        raw = sqlite3.connect(path)
        scan = "SELECT count(*) FROM observations WHERE search_text LIKE '%creme%'"
        for words in SEARCHES:
            mine, theirs = in_turn(
                [
                    lambda: find_text(database, words),  # noqa: B023 - called at once
                    lambda: raw.execute(scan).fetchall(),
                ],
                RUNS,
            )
            report.add(f"find `{words}` in {NOTES:,} notes", "the driver's own scan of them", mine / theirs)
            report.add("the same, processor time", "", 1000 * mine, at_most=50, unit=" ms")
        raw.close()
        database.close()
