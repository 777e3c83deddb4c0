"""What a mount's nights tell of its polar axis, against sheets made from a known truth by a separate program."""

import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from obslog.club.performance.polar_record import polar_record
from obslog.club.register import named_records
from obslog.club.sheets.arrivals_files import import_arrivals
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from tests.club.over_time.knocked_clubs import NIGHTS, put_mounts, steady

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
LATER = datetime(2026, 12, 31, tzinfo=UTC)


def sampled(database: Database) -> tuple[list[str], np.ndarray[tuple[int], np.dtype[np.float64]]]:
    """Takes the first sheet in; gives its nights and the true altitude errors."""
    truth = json.loads((SAMPLES / "truth.json").read_text())["german_one_sync"]
    site = truth["site"]
    values = {name: float(site[name]) for name in ("lat_deg", "lon_deg", "elevation_m")}
    named_records.add(database, "site", site["name"], {**values, "zone": site["tz"]}, LATER)
    named_records.add(database, "mount", "Heron", {"mount_type": "german", "controller": "shift"}, LATER)
    import_arrivals(database, SAMPLES / "german_one_sync.csv", LATER, create=True)
    setups = truth["setups"]
    return [s["night"] for s in setups], np.array([s["polar_altitude_arcmin"] for s in setups])


def test_altitude_errors_are_those_of_the_truth(sqlite_database: Database) -> None:
    nights, truth = sampled(sqlite_database)
    record = polar_record(sqlite_database, "Heron", LATER.date())
    assert record is not None
    assert [f"{label.night}" for label, _ in record.separations] == nights
    # Eight nights of 2' noise, six stars each, give each night's altitude to about 1.5'; five of those at most.
    assert np.max(np.abs(np.array(record.altitude_errors_arcmin) - truth)) < 7.5
    assert np.sqrt(np.mean((np.array(record.altitude_errors_arcmin) - truth) ** 2)) < 3.0


def test_only_nights_up_to_the_one_asked_about_are_told(sqlite_database: Database) -> None:
    nights, _ = sampled(sqlite_database)
    record = polar_record(sqlite_database, "Heron", date.fromisoformat(nights[2]))
    assert record is not None
    assert [f"{label.night}" for label, _ in record.separations] == nights[:3]
    assert len(record.altitude_errors_arcmin) == 3


def test_altitude_errors_are_those_since_the_last_mechanical_service(sqlite_database: Database) -> None:
    """Its night comes after the service of its day; of a service after the last night nothing is known yet."""
    nights, truth = sampled(sqlite_database)
    days = [date.fromisoformat(night) for night in nights]
    add_service(sqlite_database, "mount", "Heron", "new worm", LATER, on=days[5], mechanical=True)
    record = polar_record(sqlite_database, "Heron", LATER.date())
    assert record is not None
    assert np.max(np.abs(np.array(record.altitude_errors_arcmin) - truth[5:])) < 7.5
    assert len(record.separations) == 8  # how it was set up is the people's, before and after
    serviced = days[-1] + timedelta(days=1)
    add_service(sqlite_database, "mount", "Heron", "scale glued on", LATER, on=serviced, mechanical=True)
    untried = polar_record(sqlite_database, "Heron", serviced)
    assert untried is not None
    assert (untried.altitude_errors_arcmin, len(untried.separations)) == ([], 8)
    before = polar_record(sqlite_database, "Heron", days[-1])
    assert before is not None
    assert len(before.altitude_errors_arcmin) == 3


def test_a_mount_without_arrivals_has_no_record(sqlite_club: Database) -> None:
    assert polar_record(sqlite_club, "Heron", LATER.date()) is None


@pytest.mark.parametrize("second", ["Short tube", ""])
def test_nights_with_each_of_two_tubes_are_told(sqlite_database: Database, second: str) -> None:
    """Its axis stood far off with either, or with one that nobody wrote down, on all of 24 nights."""
    tubes = [second, "Long tube"] * 12
    put_mounts(
        sqlite_database, np.random.default_rng(8), {"Heron": steady()}, tubes=tubes, polar_sd_arcmin=60.0
    )
    record = polar_record(sqlite_database, "Heron", NIGHTS[-1])
    assert record is not None
    assert [label.night for label, _ in record.separations] == NIGHTS
    assert len(record.altitude_errors_arcmin) == len(NIGHTS)
    # Of Rayleigh's law with 60' half are farther than 70' off.
    assert np.median([away.value for _, away in record.separations]) == pytest.approx(70.0, rel=0.35)


@pytest.mark.parametrize("former", ["Short tube", ""])
def test_nights_before_the_last_service_with_a_tube_of_then_are_told(
    sqlite_database: Database, former: str
) -> None:
    tubes = [former] * 11 + ["Long tube"] * 13
    put_mounts(sqlite_database, np.random.default_rng(8), {"Heron": steady()}, tubes=tubes)
    add_service(sqlite_database, "mount", "Heron", "new worm", LATER, on=NIGHTS[12], mechanical=True)
    record = polar_record(sqlite_database, "Heron", NIGHTS[-1])
    assert record is not None
    assert [label.night for label, _ in record.separations] == NIGHTS
    assert len(record.altitude_errors_arcmin) == 12


def test_what_came_later_does_not_take_away_what_was_known_then(sqlite_database: Database) -> None:
    """Asked about a night before a service, the altitude errors are those of before."""
    nights, truth = sampled(sqlite_database)
    days = [date.fromisoformat(night) for night in nights]
    add_service(sqlite_database, "mount", "Heron", "new worm", LATER, on=days[5], mechanical=True)
    record = polar_record(sqlite_database, "Heron", days[4])
    assert record is not None
    assert np.max(np.abs(np.array(record.altitude_errors_arcmin) - truth[:5])) < 7.5
    on_the_day = polar_record(sqlite_database, "Heron", days[5] - timedelta(days=1))
    assert on_the_day is not None
    assert len(on_the_day.altitude_errors_arcmin) == 5
