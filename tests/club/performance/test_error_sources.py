"""Whose error it is, from the records: mounts, observers and sites told apart where the club's habits allow it."""

from collections.abc import Iterator
from datetime import date, timedelta

import numpy as np
import pytest
from numpy.testing import assert_allclose
from sqlalchemy import update

from obslog.club.performance.error_sources import ErrorSources, whose_error
from obslog.club.register import named_records
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Setup
from obslog.trends.attribution.attribution import Effect, NothingToAttribute
from obslog.values import Interval
from tests.club.performance.histories import NOW, Evening, drawn, put_on_record
from tests.known import known

MOUNTS = ["Heron", "Bracken", "Thistle", "Sorrel", "Yarrow"]
OBSERVERS = ["Ines", "Bram Ostler", "Cleo Marsh", "Dov Perrin", "Edda Lowe", "Finn Oake"]


@pytest.fixture
def larger_club(sqlite_database: Database) -> Database:
    """Five mounts and six members, at one site."""
    named_records.add(sqlite_database, "site", "Mill Field", {"zone": "Europe/London"}, NOW)
    for kind, names in (("mount", MOUNTS), ("member", OBSERVERS)):
        for name in names:
            named_records.add(sqlite_database, kind, name, {}, NOW)
    return sqlite_database


def evenings(
    rng: np.random.Generator, chance: dict[tuple[str, str], int], factor: dict[str, float]
) -> Iterator[Evening]:
    """So many set-ups of each mount by each observer, half landing within 6' times what both do to it."""
    night = date(2025, 1, 6)
    for (mount, observer), times in chance.items():
        for _ in range(times):
            half = 6.0 * factor.get(mount, 1.0) * factor.get(observer, 1.0) * np.exp(rng.normal(0, 0.2))
            yield Evening(night, drawn(rng, half), mount=mount, observer=observer)
            night += timedelta(days=1)


def effect(found: ErrorSources, name: str) -> Effect:
    return next(one for one in found.effects if one.name == name)


def ends(interval: Interval) -> tuple[float, float]:
    return known(interval.low), known(interval.high)


def test_a_careless_borrower_does_not_convict_a_good_mount(larger_club: Database) -> None:
    # Finn, who lands four times as far off as others, nearly always has Heron; others have it now and then.
    chance = {(mount, observer): 3 for mount in MOUNTS for observer in OBSERVERS[:-1]}
    chance |= {("Heron", "Finn Oake"): 12, ("Bracken", "Finn Oake"): 3}
    put_on_record(larger_club, evenings(np.random.default_rng(1), chance, {"Finn Oake": 4.0}))
    found = whose_error(larger_club)
    assert found.effects[0].name == "Finn Oake"
    # Of six observers Finn makes the club's average 4^(1/6) worse, so is 3.17 times as bad as the average.
    low, high = ends(effect(found, "Finn Oake").ratio)
    assert 1 < low < 4 ** (5 / 6) < high
    heron = effect(found, "Heron")
    low, high = ends(heron.ratio)
    assert low < 1 < high
    assert found.shares["observer"].value > found.shares["mount"].value
    # Looking at raw set-ups only, Heron would be the worst by far.
    assert heron.ratio.count == 27


def test_a_bad_mount_is_convicted_whoever_borrows_it(larger_club: Database) -> None:
    chance = {(mount, observer): 2 for mount in MOUNTS for observer in OBSERVERS}
    put_on_record(larger_club, evenings(np.random.default_rng(2), chance, {"Sorrel": 3.0}))
    found = whose_error(larger_club)
    sorrel = effect(found, "Sorrel")
    assert found.effects[0] == sorrel
    assert (sorrel.factor, sorrel.ratio.count) == ("mount", 12)
    # Of five mounts it makes the club's average 3^(1/5) worse, so it is 2.41 times as bad as the average.
    low, high = ends(sorrel.ratio)
    assert 1 < low < 3 ** (4 / 5) < high
    assert sorrel.worse > 0.975
    for observer in OBSERVERS:
        low, high = ends(effect(found, observer).ratio)
        assert low < 1 < high
    assert found.shares["mount"].value > 0.5
    assert_allclose(sum(share.value for share in found.shares.values()), 1)
    assert list(found.shares) == ["mount", "observer", "site", "rest"]
    site = found.shares["site"]  # there is only one
    assert (site.value, np.isnan(site.sd), site.determined) == (0.0, True, False)
    assert found.setups == 60


def test_who_was_only_ever_with_one_mount_is_named(larger_club: Database) -> None:
    chance = {(mount, observer): 2 for mount in MOUNTS[:-1] for observer in OBSERVERS[:-1]}
    chance |= {("Yarrow", "Finn Oake"): 8}
    put_on_record(larger_club, evenings(np.random.default_rng(3), chance, {"Yarrow": 3.0}))
    found = whose_error(larger_club)
    (words,) = found.cannot_tell
    assert "Yarrow" in words
    assert "Finn Oake" in words
    assert "cannot be separated" in words
    # Each may have done it: neither is convicted as surely as one who was with others too.
    assert known(effect(found, "Yarrow").ratio.low) < 1.5


def test_observers_that_are_not_on_record_are_nobody(larger_club: Database) -> None:
    chance = {(mount, observer): 2 for mount in MOUNTS for observer in OBSERVERS[:3]}
    put_on_record(larger_club, evenings(np.random.default_rng(4), chance, {}))
    with larger_club.write(NOW) as session:
        session.execute(update(Setup).values(member_id=None))
    found = whose_error(larger_club)
    assert {one.factor for one in found.effects} == {"mount"}
    assert np.isnan(found.shares["observer"].sd)


def test_too_few_or_too_alike_setups_are_refused(club: Database) -> None:
    with pytest.raises(NothingToAttribute, match=r"^0 set-ups with a landing error: too few"):
        whose_error(club)
    put_on_record(club, [Evening(date(2025, 1, 5), [5.0])])
    with pytest.raises(NothingToAttribute, match=r"^1 set-up with"):
        whose_error(club)
    alike = [Evening(date(2025, 1, 6) + timedelta(days=day), [5.0 + day % 3]) for day in range(8)]
    put_on_record(club, alike)
    with pytest.raises(NothingToAttribute, match=r"^9 set-ups"):
        whose_error(club)
