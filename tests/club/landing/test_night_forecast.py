"""Forecasts from nights on record: a person and a mount by hand, and nights of the demo left out one by one."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from obslog.club.landing.night_forecast import NightForecast, factors_of, night_forecast
from obslog.club.performance.snapshot import snapshot_of
from obslog.club.register import named_records
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.trends.attribution.night_ahead import HALF_OF_NIGHTS, NINE_OF_TEN, forecaster
from seed_demo import load
from tests.club.performance.histories import NOW, Evening, drawn, put_on_record

FIRST = date(2025, 1, 6)


@pytest.fixture
def club(sqlite_database: Database) -> Database:
    """Heron lands within 8', Bittern within 16'; Bram Ostler twice as far off as Ines."""
    named_records.add(sqlite_database, "site", "Mill Field", {"zone": "Europe/London"}, NOW)
    for kind, names in (("mount", ("Heron", "Bittern", "Knot")), ("member", ("Ines", "Bram Ostler"))):
        for name in names:
            named_records.add(sqlite_database, kind, name, {}, NOW)
    rng, evenings = np.random.default_rng(5), []
    for place in range(60):
        mount, who = ("Heron", "Bittern")[place % 2], ("Ines", "Bram Ostler")[place // 2 % 2]
        half = (
            (8.0 if mount == "Heron" else 16.0)
            * (2.0 if who == "Bram Ostler" else 1.0)
            * np.exp(rng.normal(0, 0.2))
        )
        evenings.append(
            Evening(FIRST + timedelta(days=3 * place), drawn(rng, half), mount=mount, observer=who)
        )
    put_on_record(sqlite_database, evenings)
    return sqlite_database


def forecast(database: Database, mount: str, observer: str | None) -> NightForecast | None:
    with snapshot_of(database) as snapshot:
        return night_forecast(snapshot, snapshot.mount_named(mount), None, "Mill Field", observer)


def test_the_mount_and_the_person_both_count(club: Database) -> None:
    careful, careless = forecast(club, "Heron", "Ines"), forecast(club, "Bittern", "Bram Ostler")
    assert careful is not None
    assert careless is not None
    assert careful.half_arcmin == pytest.approx(8.0, rel=0.25)
    assert careless.half_arcmin == pytest.approx(32.0, rel=0.25)
    assert careful.setups == 30
    for one in (careful, careless):
        (least, most), (low, high) = one.nine_of_ten_arcmin, one.half_of_nights_arcmin
        assert least < low < one.half_arcmin < high < most


def test_a_person_nobody_knows_makes_it_less_sure(club: Database) -> None:
    known, unknown = forecast(club, "Heron", "Ines"), forecast(club, "Heron", None)
    assert known is not None
    assert unknown is not None
    assert known.half_arcmin < unknown.half_arcmin
    spread = [np.log(one.nine_of_ten_arcmin[1] / one.nine_of_ten_arcmin[0]) for one in (known, unknown)]
    assert spread[1] > 1.2 * spread[0]


def test_a_mount_without_nights_since_its_service_gets_none(club: Database) -> None:
    assert forecast(club, "Knot", "Ines") is None
    add_service(club, "mount", "Heron", "new worm", NOW, on=date(2025, 9, 1), mechanical=True)
    assert forecast(club, "Heron", "Ines") is None
    assert forecast(club, "Bittern", "Ines") is not None


def test_the_words() -> None:
    ahead = NightForecast(
        half_arcmin=14.0, half_of_nights_arcmin=(9.6, 20.4), nine_of_ten_arcmin=(5.25, 36.0), setups=12
    )
    assert ahead.words == (
        "By past nights half of the go-tos land within 14' (9.6' to 20' on half of such nights, 5.2' to 36' on nine "
        "of ten)."
    )


def test_nights_of_the_demo_left_out_lie_inside_as_often_as_said(
    sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Each third night of the invented club in turn, by what all others teach: some 140 set-ups."""
    path = tmp_path_factory.mktemp("demo") / "club.db"
    path.write_bytes(sqlite_template.read_bytes())
    database = Database(make_engine(str(path)), str(path))
    load.fill(database, date(2026, 5, 30), datetime(2026, 6, 2, tzinfo=UTC), lambda _done: None)
    with snapshot_of(database) as snapshot:
        landings = snapshot.all_landings()
        factors = factors_of(snapshot, landings)
    database.close()
    error, sd = landings.unbiased_logs
    nights = np.array([setup.night.toordinal() for setup in landings.setups])
    away = []
    for night in np.unique(nights)[::3]:
        left_out = nights == night
        learnt = forecaster(np.where(left_out, np.nan, error), sd, factors)
        for place in np.flatnonzero(left_out & np.isfinite(error) & np.isfinite(sd)):
            ahead = learnt.night(**{name: levels[place] for name, levels in factors.items()})
            # of the night itself only so much is known as its few arrivals tell
            away.append(abs(error[place] - ahead.log_arcmin) / np.hypot(ahead.log_sd, sd[place]))
    count = len(away)
    assert count > 100
    inside_half, inside_most = (np.mean(np.array(away) < reach) for reach in (HALF_OF_NIGHTS, NINE_OF_TEN))
    # 2.6 standard errors of so many
    assert inside_half == pytest.approx(0.5, abs=2.6 * np.sqrt(0.25 / count))
    assert inside_most == pytest.approx(0.9, abs=2.6 * np.sqrt(0.09 / count))
