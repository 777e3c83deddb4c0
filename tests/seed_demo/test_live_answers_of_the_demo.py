"""Nights of the demo's truth, typed in line by line: planted mistakes are named, careful people accused of nothing."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta

import numpy as np
import pytest

from obslog.club.live.answers import ACCUSING, LiveAnswer, LiveKind
from obslog.records.engine import make_engine
from obslog.records.opening import Database
from seed_demo.club import SITES
from tests.seed_demo.conftest import LAST_NIGHT
from tests.seed_demo.typed_nights import an_evening, said_of

CLEAN_NIGHTS = 20
MOUNTS = (
    "Old Grumble", "Silver Heron", "Bramble", "Anvil", "Thistledown", "Harbour Light", "Tortoise", "Marigold",
    "Pepperpot", "Nightjar",
)  # fmt: skip
SHIFTING = ("Old Grumble", "Tortoise", "Pepperpot", "Anvil")
"""Controllers that take zero points alone: every arrival tells of the axis."""


@pytest.fixture
def club_after(demo: Database, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    """The demo club, to be written in."""
    path = tmp_path_factory.mktemp("live") / "demo.db"
    with closing(sqlite3.connect(demo.where)) as whole, closing(sqlite3.connect(path)) as copy:
        whole.backup(copy)  # a copied file would lack what is in the log beside it
    database = Database(make_engine(str(path)), str(path))
    yield database
    database.close()


def evening_after(days: int, mount: str, **truth: object) -> object:
    rng = np.random.default_rng(days)
    return an_evening(LAST_NIGHT + timedelta(days=days), mount, rng, **truth)  # type: ignore[arg-type]


def accusing(database: Database, evening: object, most: int) -> list[tuple[int, LiveAnswer]]:
    """What accuses somebody or something, and after how many lines."""
    said = said_of(database, evening, most)  # type: ignore[arg-type]
    return [(count, answer) for count, _, answer in said if answer.kind in ACCUSING]


def test_twenty_clean_nights_accuse_nobody(club_after):
    told = []
    for night in range(CLEAN_NIGHTS):
        # set up with care: the axis within 25', where looking is content with 30'
        polar = np.clip(np.random.default_rng(900 + night).normal(0.0, 12.0, 2), -25.0, 25.0)
        evening = evening_after(1 + night, MOUNTS[night % len(MOUNTS)], polar=tuple(polar))
        found = accusing(club_after, evening, 8)
        told += [(night, MOUNTS[night % len(MOUNTS)], count, answer.words) for count, answer in found]
    assert told == []


@pytest.mark.parametrize("mount", ["Old Grumble", "Thistledown", "Tortoise", "Pepperpot"])
def test_an_hour_of_summer_time_is_named_with_the_first_line(club_after, mount):
    place = MOUNTS.index(mount)
    evening = evening_after(40 + place, mount, polar=(5.0, -8.0), hours_wrong=1.00274)
    (count, answer), *_ = accusing(club_after, evening, 3)
    assert count == 1
    assert answer.kind is LiveKind.FIRST_STAR
    assert "summer time" in answer.words


def test_a_longitude_of_the_wrong_sign_is_named_with_the_first_line(club_after):
    evening = evening_after(55, "Old Grumble", polar=(5.0, -8.0), hours_wrong=-2 * SITES[0].lon_deg / 15)
    (count, answer), *_ = accusing(club_after, evening, 3)
    assert count == 1
    assert "longitude has the wrong sign" in answer.words


@pytest.mark.parametrize(("polar", "words"), [((5.0, -150.0), "west"), ((120.0, 10.0), "high|north")])
@pytest.mark.parametrize("mount", SHIFTING)
def test_an_axis_far_off_is_named_within_three_lines_after_the_sync(club_after, mount, polar, words):
    days = 60 + SHIFTING.index(mount) + (10 if polar[0] > 100 else 0)
    told = accusing(club_after, evening_after(days, mount, polar=polar), 4)
    axis = [answer for _, answer in told if answer.kind is LiveKind.AXIS]
    assert axis
    assert any(word in axis[0].words for word in words.split("|"))
    truth = polar[1] if words == "west" else polar[0]
    assert axis[0].size_arcmin is not None
    assert axis[0].sd_arcmin is not None
    assert abs(axis[0].size_arcmin - truth) < 3 * axis[0].sd_arcmin
