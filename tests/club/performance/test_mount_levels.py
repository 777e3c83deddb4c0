"""Whose error it is where a mount had several tubes: a crooked one is laid to nobody, and to no tube but itself."""

from collections.abc import Iterator
from datetime import date, timedelta

import numpy as np
import pytest

from obslog.club.landing.night_forecast import NightForecast, night_forecast
from obslog.club.overviews.fleet import fleet_of
from obslog.club.performance.error_sources import ErrorSources, whose_error
from obslog.club.performance.first_sentences import sources_sentence
from obslog.club.performance.snapshot import snapshot_of
from obslog.club.register import named_records
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.values import Interval
from tests.club.performance.histories import NOW, Evening, drawn, put_on_record
from tests.known import known

MOUNTS = ("Heron", "Bracken", "Thistle", "Sorrel", "Yarrow")
OBSERVERS = ("Ines", "Bram Ostler", "Cleo Marsh", "Dov Perrin", "Edda Lowe", "Finn Oake")
HALF_ARCMIN, CROOKED = 6.0, 3.0


def set_up() -> Iterator[tuple[str, str, str]]:
    """Mount, tube and observer: each with each, twice; but Finn has Heron always with his own short tube."""
    for mount in MOUNTS:
        for observer in OBSERVERS:
            if (mount, observer) != ("Heron", "Finn Oake"):
                yield from [(mount, "Long tube" if mount == "Heron" else "", observer)] * 2
    yield from [("Heron", "Short tube", "Finn Oake")] * 7
    yield from [("Heron", "Short tube", "Ines")] * 2


def evenings(seed: int, crooked: float) -> Iterator[Evening]:
    """Half of the go-tos land within 6', with the short tube within so many times as much; nobody else is at fault."""
    rng, night = np.random.default_rng(seed), date(2025, 1, 6)
    for mount, tube, observer in set_up():
        half = HALF_ARCMIN * (crooked if tube == "Short tube" else 1.0) * np.exp(rng.normal(0, 0.2))
        yield Evening(night, drawn(rng, half), mount=mount, observer=observer, tube=tube)
        night += timedelta(days=1)


@pytest.fixture
def bare(sqlite_database: Database) -> Database:
    named_records.add(sqlite_database, "site", "Mill Field", {"zone": "Europe/London"}, NOW)
    named = (("mount", MOUNTS), ("member", OBSERVERS), ("tube", ("Long tube", "Short tube")))
    for kind, names in named:
        for name in names:
            named_records.add(sqlite_database, kind, name, {}, NOW)
    return sqlite_database


@pytest.fixture
def crooked(bare: Database) -> Database:
    put_on_record(bare, evenings(1, CROOKED))
    return bare


def ratio(found: ErrorSources, name: str) -> Interval:
    return next(one.ratio for one in found.effects if one.name == name)


def test_a_crooked_tube_is_laid_to_neither_who_brought_it_nor_the_night_nor_the_other_tube(
    crooked: Database,
) -> None:
    """Of six mounts, each with its tube, five are alike: the sixth is 3^(5/6) times the average."""
    found = whose_error(crooked)
    finn, short, long = (
        ratio(found, name) for name in ("Finn Oake", "Heron with Short tube", "Heron with Long tube")
    )
    assert known(finn.low) < 1 < known(finn.high)
    assert known(short.low) < CROOKED ** (5 / 6) < known(short.high)
    assert known(short.low) > 1
    assert known(long.low) < CROOKED ** (-1 / 6) < known(long.high)
    assert (short.count, long.count) == (9, 10)
    assert found.shares["mount"].value > 0.5 > found.shares["rest"].value
    sentence = sources_sentence(found.shares, tubes_apart=found.tubes_apart)
    assert sentence.startswith(
        "What makes one set-up land farther off than another is mostly the mount with its tube ("
    )


def test_tubes_that_are_alike_convict_nobody(bare: Database) -> None:
    put_on_record(bare, evenings(2, 1.0))
    found = whose_error(bare)
    for one in found.effects:
        assert known(one.ratio.low) < 1 < known(one.ratio.high), one.name


def test_a_mount_with_one_tube_is_called_by_its_name_alone(bare: Database) -> None:
    """Nor does a set-up of which nobody wrote down the tube make it two."""
    alone = [one for one in evenings(3, 1.0) if one.tube != "Short tube"]
    put_on_record(bare, alone)
    found = whose_error(bare)
    assert {one.name for one in found.effects if one.factor == "mount"} == set(MOUNTS)
    assert not found.tubes_apart


def test_with_a_service_between_the_tubes_the_mount_is_told_by_its_eras_alone(crooked: Database) -> None:
    """The short tube came with the new worm: which of them it was nobody can tell."""
    came = date(2025, 1, 6) + timedelta(days=sum(tube != "Short tube" for _, tube, _ in set_up()))
    add_service(crooked, "mount", "Heron", "new worm", NOW, on=came, mechanical=True)
    names = {one.name for one in whose_error(crooked).effects if one.factor == "mount"}
    assert names == {"Heron", f"Heron until {came}", *MOUNTS}


def test_a_forecast_is_by_the_nights_with_the_tube_that_is_on_it(crooked: Database) -> None:
    for tube, half in (("Short tube", CROOKED * HALF_ARCMIN), ("Long tube", HALF_ARCMIN)):
        ahead = forecast(crooked, "Heron", tube)
        assert ahead is not None
        assert ahead.half_arcmin == pytest.approx(half, rel=0.25)
        assert ahead.words.startswith(f"By past nights with {tube} half of the go-tos land within ")
    assert forecast(crooked, "Heron", None) is None  # nobody knows how it lands with whatever that is
    other = forecast(crooked, "Bracken", "Short tube")
    assert other is not None
    assert other.words.startswith("By past nights half of the go-tos land within ")


def forecast(database: Database, mount: str, tube: str | None) -> NightForecast | None:
    with snapshot_of(database) as snapshot:
        key = snapshot.tube_named(tube) if tube else None
        return night_forecast(snapshot, snapshot.mount_named(mount), key, "Mill Field", "Ines")


def test_the_fleet_has_a_line_for_each_tube(crooked: Database) -> None:
    with snapshot_of(crooked) as snapshot:
        found = fleet_of(snapshot)
    lines = {line.name: line for line in found.lines}
    assert next(iter(lines)) == "Heron with Short tube"
    for name, half in (
        ("Heron with Short tube", CROOKED * HALF_ARCMIN),
        ("Heron with Long tube", HALF_ARCMIN),
    ):
        assert lines[name].half_arcmin.value == pytest.approx(half, rel=0.3)
    assert [name for name, line in lines.items() if line.worse_itself] == ["Heron with Short tube"]
