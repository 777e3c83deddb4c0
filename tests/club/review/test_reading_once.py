"""A review reads the records once, in one session, and what was computed before not at all."""

from datetime import timedelta

import numpy as np

from obslog.club.performance.snapshot import snapshot_of
from obslog.club.review.review import review, review_of
from obslog.records.database import Database
from tests.club.conftest import MOUNTS
from tests.club.performance.histories import NOW, counted_reading


def test_the_review_reads_in_one_session_and_the_arrivals_of_each_mount_once(club_of_three: Database) -> None:
    today = NOW.date()
    with counted_reading(club_of_three) as count:
        review(club_of_three, today)
    assert count == {"sessions": 1, "arrivals": len(MOUNTS)}


def test_what_was_computed_is_not_computed_again(club_of_three: Database) -> None:
    today = NOW.date()
    found = review(club_of_three, today)
    with counted_reading(club_of_three) as count:
        assert repr(review(club_of_three, today)) == repr(found)  # nan is not equal to itself
        review_of(club_of_three, "Birch", today)
    assert count == {"sessions": 2, "arrivals": 0}


def test_the_landings_of_all_mounts_are_those_of_each(club_of_three: Database) -> None:
    with snapshot_of(club_of_three) as snapshot:
        with counted_reading(club_of_three) as count:
            together = snapshot.all_landings()
        assert count["arrivals"] == len(MOUNTS)
        keys = [snapshot.mount_named(name.upper()) for name in MOUNTS]
        with counted_reading(club_of_three) as count:
            of_each = [snapshot.landings(key) for key in keys]
        assert count["arrivals"] == 0
    assert [setup.mount for setup in together.setups] == [name for name in MOUNTS for _ in range(12)]
    np.testing.assert_array_equal(
        np.concatenate([landings.log_error for landings in of_each]), together.log_error
    )
    assert together.setups[1].night - together.setups[0].night == timedelta(days=14)
    assert len({setup.key for setup in together.setups}) == 36
