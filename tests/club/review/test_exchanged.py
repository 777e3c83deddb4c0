"""From the database to the verdict: two mounts whose labels were exchanged half way, and two that were knocked."""

import numpy as np

from obslog.club.review.review import review_of
from obslog.pointing.model.frames import FloatArray
from obslog.records.database import Database
from tests.club.over_time.knocked_clubs import CONE, NIGHTS, SQUARENESS, put_mounts, steady
from tests.club.performance.histories import NOW

ASKED = "were the two exchanged then"
WHEN = f"between the nights of {NIGHTS[11]} and {NIGHTS[12]}"


def from_to(before: float, after: float, term: int = CONE) -> FloatArray:
    mechanics = steady()
    mechanics[:12, term], mechanics[12:, term] = before, after
    return mechanics


def asked(database: Database, mounts: dict[str, FloatArray]) -> dict[str, list[str]]:
    """What each is asked about an exchange."""
    put_mounts(database, np.random.default_rng(6), mounts)
    reasons = {name: review_of(database, name, NOW.date()).reasons for name in mounts}
    return {name: [one.words for one in told if ASKED in one.words] for name, told in reasons.items()}


def test_labels_that_were_exchanged_are_not_two_knocks(sqlite_database: Database) -> None:
    told = asked(sqlite_database, {"Heron": from_to(14, -12), "Bittern": from_to(-12, 14), "Rail": steady()})
    assert told["Rail"] == []
    for name, other in (("Heron", "Bittern"), ("Bittern", "Heron")):
        (words,) = told[name]
        assert words.startswith(
            f"{WHEN} its cone error became what {other}'s had been, and {other}'s what its own had"
        )


def test_two_knocks_of_one_night_are_not_an_exchange(sqlite_database: Database) -> None:
    """A shelf that fell: both changed, and neither into the other."""
    told = asked(sqlite_database, {"Heron": from_to(14, -12), "Bittern": from_to(-12, 26)})
    assert told == {"Heron": [], "Bittern": []}


def test_changes_of_two_kinds_are_not_an_exchange(sqlite_database: Database) -> None:
    told = asked(sqlite_database, {"Heron": from_to(14, -12), "Bittern": from_to(-12, 14, SQUARENESS)})
    assert told == {"Heron": [], "Bittern": []}
