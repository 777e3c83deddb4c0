"""From the database to the verdict: gears that wear behind people who set the polar axis badly."""

from datetime import timedelta

import numpy as np

from obslog.club.over_time.landing_history import mount_history
from obslog.club.performance.mount_fit import fit_mount
from obslog.club.review.review import review_of
from obslog.club.review.verdicts import Status
from obslog.records.database import Database
from obslog.trends.series.theil_sen import Verdict
from tests.club.over_time.knocked_clubs import NIGHTS, put_mounts, steady

WORN, AT = 5.0, 16
SOON = NIGHTS[-1] + timedelta(days=2)


def put_worn(database: Database, before: float, after: float) -> None:
    scatter = np.where(np.arange(len(NIGHTS)) < AT, before, after)
    put_mounts(
        database, np.random.default_rng(3), {"Heron": steady()}, scatter_arcmin=scatter, polar_sd_arcmin=35.0
    )


def test_a_mount_that_wears_is_seen_behind_its_careless_users(sqlite_database: Database) -> None:
    """Its landing errors are those of the polar axis, before and after: it was called ready."""
    put_worn(sqlite_database, 1.2, WORN)
    assert mount_history(sqlite_database, "Heron").verdict is Verdict.STEADY
    reviewed = review_of(sqlite_database, "Heron", SOON)
    told = {
        str(reason.numbers.get("term") or reason.numbers.get("kind")): reason for reason in reviewed.reasons
    }
    assert reviewed.status is Status.WATCH
    scatter = told["scatter"]
    assert told.keys() == {"scatter"}
    assert fit_mount(sqlite_database, "Heron").sentence.endswith(f"about {NIGHTS[AT]}.")
    assert f"between the nights of {NIGHTS[AT - 1]} and {NIGHTS[AT]}" in scatter.words


def test_a_scatter_that_fell_is_nothing_to_watch(sqlite_database: Database) -> None:
    put_worn(sqlite_database, WORN, 1.2)
    reviewed = review_of(sqlite_database, "Heron", SOON)
    assert reviewed.status is Status.READY
    (told,) = [reason.words for reason in reviewed.reasons if "scatter" in reason.words]
    assert told.startswith("scatter of arrivals per axis fell from ")
