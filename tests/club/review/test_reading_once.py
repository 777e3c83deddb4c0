"""A review reads the records once: one snapshot of the nights, from which everything else is computed."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta

import numpy as np
import pytest
from sqlalchemy import event
from sqlalchemy.orm import Session

from obslog.club.performance.snapshot import read_snapshot
from obslog.club.register import named_records
from obslog.club.review.review import review, review_of
from obslog.records.opening import Database
from tests.club.performance.histories import NOW, Evening, drawn, fortnightly, put_on_record

MOUNTS = ("Alder", "Birch", "Cedar")


@contextmanager
def counted_reading(database: Database) -> Iterator[dict[str, int]]:
    """How many sessions begin inside, and how many statements read arrivals."""
    count = {"sessions": 0, "arrivals": 0}

    def begun(*_: object) -> None:
        count["sessions"] += 1

    def executed(_connection: object, _cursor: object, statement: str, *_: object) -> None:
        count["arrivals"] += "FROM arrivals" in statement

    event.listen(Session, "after_begin", begun)
    event.listen(database.engine, "before_cursor_execute", executed)
    yield count
    event.remove(Session, "after_begin", begun)
    event.remove(database.engine, "before_cursor_execute", executed)


@pytest.fixture
def club_of_three(sqlite_database: Database) -> Database:
    """Three mounts, each set up twelve times by two members in turn."""
    site = {"zone": "Europe/London", "lat_deg": 52.2, "lon_deg": 0.12}
    named_records.add(sqlite_database, "site", "Mill Field", site, NOW)
    for kind, names in (("mount", MOUNTS), ("member", ("Ines", "Tomasz"))):
        for name in names:
            named_records.add(sqlite_database, kind, name, {}, NOW)
    rng = np.random.default_rng(3)
    put_on_record(
        sqlite_database,
        (
            Evening(
                night, drawn(rng, 6), mount=mount, observer=("Ines", "Tomasz")[place % 2], site="Mill Field"
            )
            for place, night in enumerate(fortnightly(12))
            for mount in MOUNTS
        ),
    )
    return sqlite_database


def test_the_review_reads_in_one_session_and_the_arrivals_once(club_of_three: Database) -> None:
    today = NOW.date()
    with counted_reading(club_of_three) as count:
        review(club_of_three, today)
    assert count == {"sessions": 1, "arrivals": 1}
    with counted_reading(club_of_three) as count:
        review_of(club_of_three, "Birch", today)
    assert count == {"sessions": 1, "arrivals": 1}


def test_landings_of_a_snapshot_read_nothing_more(club_of_three: Database) -> None:
    with club_of_three.read() as session:
        snapshot = read_snapshot(session)
    with counted_reading(club_of_three) as count:
        keys = [snapshot.mount_named(name.upper()) for name in MOUNTS]
        of_each = [snapshot.landings(key) for key in keys]
        together = snapshot.landings()
    assert count == {"sessions": 0, "arrivals": 0}
    assert [setup.mount for setup in together.setups] == [name for name in MOUNTS for _ in range(12)]
    np.testing.assert_array_equal(
        np.concatenate([landings.log_error for landings in of_each]), together.log_error
    )
    assert together.setups[1].night - together.setups[0].night == timedelta(days=14)
    assert len({setup.key for setup in together.setups}) == 36
