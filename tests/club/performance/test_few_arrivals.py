"""Set-ups of one check and of eight are compared without the bias that few arrivals have, wherever they are compared.

The logarithm of a scale estimated from m arrivals is (ln m - psi(m)) / 2 too small on average: by 0.289 from one (half
of Euler's constant), by 0.032 from eight. Here each set-up is off by just that, so that all mounts are alike.
"""

from datetime import date

import numpy as np
import pytest
from scipy.special import psi

from obslog.club.landing.before_and_after import Split, compare_sides
from obslog.club.landing.beside_the_first import compare_beside
from obslog.club.landing.night_forecast import night_forecast
from obslog.club.over_time.landing_history import mount_history
from obslog.club.performance.error_sources import whose_error
from obslog.club.performance.snapshot import snapshot_of
from obslog.club.review.landed_with import ClubLandings
from obslog.records.database import Database
from obslog.trends.attribution.two_sides import two_sides
from obslog.trends.landings.few_arrivals import unbiased_logs
from obslog.trends.landings.landing_scale import landing_errors
from tests.club.landing.two_mounts import SERVICED, add_the_service
from tests.club.performance.histories import Evening, fortnightly, put_on_record
from tests.club.review.evidence import with_names

HALF_ARCMIN = 10.0
NIGHTS = 12


def alike(arrivals: int, first: date, mount: str) -> list[Evening]:
    """Set-ups whose radii come out by a tenth larger and smaller in turn than those of so many arrivals do."""
    below = (np.log(arrivals) - psi(arrivals)) / 2
    east = HALF_ARCMIN / np.sqrt(np.log(2)) * np.exp(-below + 0.1 * np.where(np.arange(NIGHTS) % 2, 1, -1))
    return [
        Evening(night, [far] * arrivals, mount=mount)
        for night, far in zip(fortnightly(NIGHTS, first), east, strict=True)
    ]


@pytest.fixture
def club(sqlite_database: Database) -> Database:
    """Heron has one check a night until its service and eight since, Bittern has one: all land alike."""
    database = with_names(sqlite_database, ("Heron", "Bittern"))
    put_on_record(
        database,
        [
            *alike(1, date(2025, 1, 6), "Heron"),
            *alike(8, SERVICED, "Heron"),
            *alike(1, date(2025, 1, 6), "Bittern"),
        ],
    )
    add_the_service(database)
    return database


def test_a_service_before_more_checks_a_night_did_nothing(club: Database) -> None:
    (service,) = mount_history(club, "Heron").services
    assert service.factor is not None
    assert service.factor.value == pytest.approx(1.0, abs=1e-3)
    compared = compare_sides(club, "Heron", Split(service=True), date(2026, 3, 2))
    assert compared.ratio.value == pytest.approx(1.0, abs=1e-3)


def test_mounts_of_few_and_of_many_checks_stand_beside_each_other_alike(club: Database) -> None:
    _, bittern = compare_beside(club, ["Heron", "Bittern"])
    assert bittern.ratio is not None
    assert bittern.ratio.value == pytest.approx(1.0, abs=1e-3)


def test_none_of_them_is_worse_than_the_club(club: Database) -> None:
    mounts = [effect for effect in whose_error(club).effects if effect.factor == "mount"]
    assert len(mounts) == 3
    assert [effect.ratio.value for effect in mounts] == pytest.approx([1.0] * 3, abs=1e-3)
    with snapshot_of(club) as snapshot:
        landings = ClubLandings.of(snapshot.all_landings())
        for mount in snapshot.mounts:
            assert landings.raw_ratio(landings.since(mount, SERVICED)) in (None, pytest.approx(1.0, abs=1e-3))


def test_coming_nights_of_both_are_forecast_alike(club: Database) -> None:
    with snapshot_of(club) as snapshot:
        found = [night_forecast(snapshot, mount, None, "Mill Field", "Ines") for mount in snapshot.mounts]
    assert [one.half_arcmin for one in found if one] == pytest.approx([HALF_ARCMIN] * 2, rel=1e-3)


def test_sides_of_few_and_of_many_checks_are_seldom_called_different() -> None:
    """40 mounts of 25 nights of one check and 25 of eight, who do not differ: 2 of them are by chance alone, and more
    than 6 would come once in 100. With the bias 19 were."""
    rng = np.random.default_rng(7)
    checks = np.repeat([1, 8], 25)
    setup = np.repeat(np.arange(50), checks)
    decided, ratios = 0, []
    for _ in range(40):
        half = np.exp(rng.normal(np.log(HALF_ARCMIN), 0.2, 50))
        distance = rng.rayleigh(half[setup] / np.sqrt(2 * np.log(2)))
        logs = unbiased_logs(landing_errors(setup, distance, distance, 50))
        found = two_sides(*logs, checks == 8, {})
        assert found is not None
        decided += found.decided
        ratios.append(np.log(found.ratio.value))
    assert decided <= 6
    # each has a standard error of sqrt((0.41 + 0.04) / 25 + 0.07 / 25) = 0.14
    assert np.mean(ratios) == pytest.approx(0.0, abs=2.6 * 0.14 / np.sqrt(40))
