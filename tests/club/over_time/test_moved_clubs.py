"""A club that moved to a worse site half way: what the site does is not laid to its mounts."""

import numpy as np
import pytest

from obslog.club.over_time.landing_history import mount_history
from obslog.club.register import named_records
from obslog.records.database import Database
from obslog.trends.series.theil_sen import Verdict
from tests.club.performance.histories import NOW, Evening, drawn, fortnightly, put_on_record

MOUNTS, SITES, PEOPLE = ("Heron", "Bittern", "Knot"), ("Mill Field", "Kestrel Ridge"), ("Ines", "Bram Ostler")
NIGHTS = fortnightly(24, days=30)
HALF_ARCMIN, WORSE = 6.0, 2.0


@pytest.fixture
def bare(sqlite_database: Database) -> Database:
    named = (("mount", MOUNTS), ("member", PEOPLE), ("site", SITES))
    for kind, names in named:
        for name in names:
            named_records.add(
                sqlite_database, kind, name, {"zone": "Europe/London"} if kind == "site" else {}, NOW
            )
    return sqlite_database


def put_at(database: Database, seed: int, at_ridge: list[bool], growth: float = 1.0) -> None:
    """All lands twice as far out at the Ridge; Heron besides by so many times as far in two years."""
    rng, evenings = np.random.default_rng(seed), []
    for place, (night, there) in enumerate(zip(NIGHTS, at_ridge, strict=True)):
        for mount in MOUNTS:
            half = HALF_ARCMIN * (WORSE if there else 1.0) * np.exp(rng.normal(0, 0.2))
            half *= growth ** (place / (len(NIGHTS) - 1)) if mount == "Heron" else 1.0
            evenings.append(
                Evening(
                    night,
                    drawn(rng, half, 8),
                    mount=mount,
                    observer=PEOPLE[int(rng.integers(2))],
                    site=SITES[int(there)],
                )
            )
    put_on_record(database, evenings)


MOVED = [False] * 12 + [True] * 12


@pytest.mark.parametrize("seed", [1, 2])
def test_a_worse_site_is_not_called_a_worsening_of_the_mounts(bare: Database, seed: int) -> None:
    put_at(bare, seed, MOVED)
    for mount in MOUNTS:
        history = mount_history(bare, mount)
        assert history.as_used.verdict is Verdict.WORSENING
        assert history.verdict is Verdict.CANNOT_TELL_SITES
        said = (
            f"Whether {mount} itself gets worse cannot be told, for the sites where it was used changed too: "
        )
        assert history.words.startswith(said)
        now = float(history.words.split(" within ")[1].split("'")[0])
        assert now == pytest.approx(HALF_ARCMIN * WORSE, rel=0.4)  # at the Ridge, where it is now
        assert any(
            "an evening or two at the earlier site would settle it" in reason for reason in history.reasons
        )


def test_at_two_sites_in_turn_a_mount_that_gets_worse_is_found(bare: Database) -> None:
    put_at(bare, 3, [False, True] * 12, growth=3.0)
    assert mount_history(bare, "Heron").verdict is Verdict.WORSENING
    assert [mount_history(bare, mount).verdict for mount in MOUNTS[1:]] == [Verdict.STEADY] * 2
