"""Nights of the demo's truth, typed in line by line at the prompt: planted mistakes are named, careful people accused
of nothing."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import timedelta

import numpy as np
import pytest

from obslog.club.live.answers import LiveKind
from obslog.records.database import Database
from obslog.records.engine import make_engine
from seed_demo.club import SITES
from tests.seed_demo.conftest import LAST_NIGHT
from tests.seed_demo.typed_nights import AtThePrompt, Evening, Told, an_evening, said_of, with_another_star

CLEAN_NIGHTS, LINES_OF_A_CLEAN_NIGHT = 20, 8
MOUNTS = (
    "Old Grumble", "Silver Heron", "Bramble", "Anvil", "Thistledown", "Harbour Light", "Tortoise", "Marigold",
    "Pepperpot", "Nightjar",
)  # fmt: skip
SHIFTING = ("Old Grumble", "Tortoise", "Pepperpot", "Anvil")
"""Controllers that take zero points alone: every arrival tells of the axis."""


@pytest.fixture
def prompt(
    demo: Database, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> Iterator[AtThePrompt]:
    """A prompt in the demo club; a fault in what is said of its own accord is not passed over in silence."""
    monkeypatch.setenv("OBSLOG_DEBUG", "1")
    path = tmp_path_factory.mktemp("live") / "demo.db"
    with closing(sqlite3.connect(demo.where)) as whole, closing(sqlite3.connect(path)) as copy:
        whole.backup(copy)  # a copied file would lack what is in the log beside it
    database = Database(make_engine(str(path)), str(path))
    yield AtThePrompt(database)
    database.close()


def evening_after(days: int, mount: str, *, polar: tuple[float, float], hours_wrong: float = 0.0) -> Evening:
    rng = np.random.default_rng(days)
    return an_evening(LAST_NIGHT + timedelta(days=days), mount, rng, polar=polar, hours_wrong=hours_wrong)


def accusing(prompt: AtThePrompt, evening: Evening, most: int) -> list[Told]:
    """What accuses somebody or something of the first lines."""
    return [told for told in said_of(prompt, evening, most) if told.accuses]


def test_twenty_clean_nights_accuse_nobody(prompt):
    accused, typed = [], 0
    for night in range(CLEAN_NIGHTS):
        # set up with care: the axis within 25', where looking is content with 30'
        north, east = np.clip(np.random.default_rng(900 + night).normal(0.0, 12.0, 2), -25.0, 25.0)
        mount = MOUNTS[night % len(MOUNTS)]
        evening = evening_after(1 + night, mount, polar=(float(north), float(east)))
        told = said_of(prompt, evening, LINES_OF_A_CLEAN_NIGHT)
        assert any(one.kind is LiveKind.LANDING for one in told), "what accuses nobody is said all the same"
        typed += min(len(evening.typed), LINES_OF_A_CLEAN_NIGHT)
        accused += [(night, mount, one) for one in told if one.accuses]
        prompt.must("night end", evening.typed[-1].visit.utc + timedelta(minutes=5))
    assert typed > 5 * CLEAN_NIGHTS
    assert accused == []


@pytest.mark.parametrize("mount", ["Old Grumble", "Thistledown", "Tortoise", "Pepperpot"])
def test_an_hour_of_summer_time_is_named_with_the_first_line(prompt, mount):
    place = MOUNTS.index(mount)
    evening = evening_after(40 + place, mount, polar=(5.0, -8.0), hours_wrong=1.00274)
    asked, kept, *_ = accusing(prompt, evening, 3)
    assert (asked.lines, kept.lines) == (1, 1)
    assert asked.kind is None, "asked before it goes on record"
    assert "summer time" in asked.words
    assert kept.kind is LiveKind.FIRST_STAR
    assert "summer time" in kept.words


def test_a_longitude_of_the_wrong_sign_is_named_with_the_first_line(prompt):
    evening = evening_after(55, "Old Grumble", polar=(5.0, -8.0), hours_wrong=-2 * SITES[0].lon_deg / 15)
    first, *_ = accusing(prompt, evening, 3)
    assert first.lines == 1
    assert "longitude has the wrong sign" in first.words


@pytest.mark.parametrize(("polar", "words"), [((5.0, -150.0), "west"), ((120.0, 10.0), "high|north")])
@pytest.mark.parametrize("mount", SHIFTING)
def test_an_axis_far_off_is_named_within_three_lines_after_the_sync(prompt, mount, polar, words):
    days = 60 + SHIFTING.index(mount) + (10 if polar[0] > 100 else 0)
    told = accusing(prompt, evening_after(days, mount, polar=polar), 4)
    axis = [one for one in told if one.kind is LiveKind.AXIS]
    assert axis
    assert any(word in axis[0].words for word in words.split("|"))
    truth = polar[1] if words == "west" else polar[0]
    assert axis[0].size_arcmin is not None
    assert axis[0].sd_arcmin is not None
    assert abs(axis[0].size_arcmin - truth) < 3 * axis[0].sd_arcmin


@pytest.mark.parametrize(
    ("mount", "away"),
    [
        ("Old Grumble", (55.0, -35.0)),
        ("Tortoise", (-50.0, 40.0)),
        ("Pepperpot", (45.0, 50.0)),
        ("Anvil", (-60.0, -30.0)),
    ],
)
def test_an_arrival_at_another_star_is_named_within_three_lines(prompt, mount, away):
    evening = evening_after(80 + MOUNTS.index(mount), mount, polar=(5.0, -8.0))
    wrong = 3
    told = accusing(prompt, with_another_star(evening, wrong, away), wrong + 3)
    assert {one.kind for one in told} == {LiveKind.MISFIT}
    assert told[0].words.startswith(f"{wrong + 1}. {evening.typed[wrong].visit.name} does not fit")
