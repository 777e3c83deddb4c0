"""From the database to the verdict: gears that wear behind people who set the polar axis badly."""

import re
from datetime import timedelta

import numpy as np
import pytest

from obslog.club.over_time.landing_history import mount_history
from obslog.club.performance.mount_fit import fit_mount
from obslog.club.review.review import review_of
from obslog.club.review.verdicts import Status
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.trends.series.theil_sen import Verdict
from tests.club.over_time.knocked_clubs import NIGHTS, put_mounts, steady
from tests.club.performance.histories import NOW

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
    assert f"between the nights of {NIGHTS[AT - 1]} and {NIGHTS[AT]} (" in scatter.words
    assert "bit by bit" not in scatter.words


def test_a_scatter_that_fell_is_nothing_to_watch(sqlite_database: Database) -> None:
    put_worn(sqlite_database, WORN, 1.2)
    reviewed = review_of(sqlite_database, "Heron", SOON)
    assert reviewed.status is Status.READY
    (told,) = [reason.words for reason in reviewed.reasons if "scatter" in reason.words]
    assert told.startswith("scatter of arrivals per axis fell from ")


def test_gears_that_wear_bit_by_bit_are_not_told_to_have_slipped_on_a_day(sqlite_database: Database) -> None:
    """From 1' to 6', a little on each night: no day is named, and the ends are what it was and what it is."""
    course = np.linspace(1.0, 6.0, len(NIGHTS))
    put_mounts(
        sqlite_database,
        np.random.default_rng(4),
        {"Heron": steady()},
        scatter_arcmin=course,
        polar_sd_arcmin=35.0,
    )
    reviewed = review_of(sqlite_database, "Heron", SOON)
    (told,) = [reason.words for reason in reviewed.reasons if "scatter of arrivals" in reason.words]
    ends = re.match(
        r"scatter of arrivals per axis grew bit by bit from (\d\.\d)' ± \S+' to (\d\.\d)' ± \S+' since (\S+) ",
        told,
    )
    assert ends, told
    assert float(ends[1]) == pytest.approx(1.0, abs=0.5)
    assert float(ends[2]) == pytest.approx(6.0, abs=1.5)
    assert ends[3] == str(NIGHTS[0])
    assert "between the nights" not in told
    assert re.search(
        r"; its scatter grew by \d\.\d' bit by bit since ", fit_mount(sqlite_database, "Heron").sentence
    )


def test_what_wears_since_a_service_on_the_first_night_is_told(sqlite_database: Database) -> None:
    """The growth begins with the first set-up after the service, which may be of the same day."""
    course = np.linspace(1.0, 6.0, len(NIGHTS))
    put_mounts(
        sqlite_database,
        np.random.default_rng(4),
        {"Heron": steady()},
        scatter_arcmin=course,
        polar_sd_arcmin=35.0,
    )
    add_service(sqlite_database, "mount", "Heron", "new worm", NOW, on=NIGHTS[0], mechanical=True)
    reviewed = review_of(sqlite_database, "Heron", SOON)
    assert any("grew bit by bit from" in reason.words for reason in reviewed.reasons)
