"""A review reads the records once: one snapshot of the nights, from which everything else is computed."""

from datetime import timedelta

import numpy as np

from obslog.club.performance.snapshot import read_snapshot
from obslog.club.review.review import review, review_of
from obslog.records.opening import Database
from tests.club.conftest import MOUNTS
from tests.club.performance.histories import NOW, counted_reading


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
