"""A mount that scattered, was mended by a mechanical service, and lands like the others since: what is said of it."""

import csv
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from tests.cli.program import Program

MOUNTS = ("Mended", "Alder", "Birch", "Cedar", "Elder", "Hazel")
OBSERVERS = ("Ines", "Jon", "Kit", "Lena", "Milo", "Nora")
SERVICED = date(2025, 10, 10)
BAD_SCATTER_ARCMIN, SCATTER_ARCMIN = 8.0, 1.5
STARS = (  # 20:00 to 20:30 by UTC in autumn at 54.6 degrees north: all of them are up
    ("Vega", 18.6156, 38.784),
    ("Deneb", 20.6905, 45.280),
    ("Capella", 5.2782, 45.998),
    ("Altair", 19.8464, 8.868),
    ("Mirfak", 3.4054, 49.861),
    ("Caph", 0.1529, 59.150),
)
COLUMNS = (
    *("night", "site", "observer", "mount", "tube", "utc", "role", "target"),
    *("ra_hours", "dec_deg", "offset_east_arcmin", "offset_north_arcmin"),
)
NIGHTS = [SERVICED + timedelta(days=3 * place) for place in range(-20, 20)]


def write_sheet(path: Path) -> None:
    """Six mounts on each of 40 nights, one sync and five checks each; offsets are drawn with nothing but a scatter."""
    rng = np.random.default_rng(20251010)
    with path.open("w", newline="") as file:
        sheet = csv.writer(file)
        sheet.writerow(COLUMNS)
        for number, night in enumerate(NIGHTS):
            for place, mount in enumerate(MOUNTS):
                bad = mount == "Mended" and night < SERVICED
                scatter = BAD_SCATTER_ARCMIN if bad else SCATTER_ARCMIN
                observer = OBSERVERS[(number + place) % len(OBSERVERS)]
                for star, (target, ra_hours, dec_deg) in enumerate(STARS):
                    at = datetime(night.year, night.month, night.day, 20, 5 * star, tzinfo=UTC)
                    east, north = (0.0, 0.0) if star == 0 else rng.normal(0, scatter, 2)
                    sheet.writerow([
                        night, "Tarn", observer, mount, "Long tube", at.isoformat().replace("+00:00", "Z"),
                        "check" if star else "sync", target, ra_hours, dec_deg,
                        f"{east:.2f}", f"{north:.2f}",
                    ])  # fmt: skip


@pytest.fixture
def mended(program: Program, tmp_path: Path) -> Program:
    """The program two days after the last of the 40 nights; the gears were rebuilt before the 21st."""
    program.now = datetime.combine(NIGHTS[-1] + timedelta(days=2), datetime.min.time(), UTC)
    tarn = ("--lat", "54.6", "--lon", "-3.1", "--elevation-m", "180", "--tz", "Europe/London")
    program.must("site", "add", "Tarn", *tarn)
    program.must("tube", "add", "Long tube", "--aperture-mm", "200", "--focal-mm", "1000")
    for mount in MOUNTS:
        program.must("mount", "add", mount, "--type", "fork", "--controller", "shift", "--refraction")
    for observer in OBSERVERS:
        program.must("member", "add", observer)
    write_sheet(tmp_path / "autumn.csv")
    program.must("import", "arrivals", str(tmp_path / "autumn.csv"))
    program.must("service", "add", "Mended", "gears rebuilt", "--on", str(SERVICED), "--mechanical")
    return program


def test_a_mended_mount_is_judged_by_the_setups_since_its_service_alone(mended: Program) -> None:
    found = {(item["kind"], item["name"]): item for item in mended.document("review")["items"]}
    effect = found["mount", "Mended"]["effect"]
    # Its truth since then is the truth of all the others: 1.5' per axis.
    assert effect["low"] < 1 < effect["high"]
    assert effect["setups"] == sum(night >= SERVICED for night in NIGHTS) == 20
    one = mended.document("review", "Mended")
    assert one["status"] == "ready"
    assert one["effect"] == effect
    told = mended.must("review", "Mended").out
    assert "not at fault" not in told
    assert "help the borrowers" not in told
    assert "over 20 set-ups" in told


def test_the_eras_of_a_mended_mount_are_told_apart(mended: Program) -> None:
    effects = {effect["name"]: effect for effect in mended.document("pointing", "whose")["effects"]}
    before, since = effects["Mended until 2025-10-10"], effects["Mended"]
    assert (before["setups"], since["setups"]) == (20, 20)
    # Of seven mount eras, one of which scatters 8/1.5 as much: that one is (8/1.5)^(6/7) times the club's level.
    assert 1 < before["low"] < (BAD_SCATTER_ARCMIN / SCATTER_ARCMIN) ** (6 / 7) < before["high"]
    assert since["low"] < (SCATTER_ARCMIN / BAD_SCATTER_ARCMIN) ** (1 / 7) < since["high"]
    # 20 set-ups of 5 arrivals: 0.5 / sqrt(100) of its logarithm each, 0.07 for the difference of two; within 3.5 of it.
    for mount in MOUNTS[1:]:
        assert abs(np.log(since["ratio"] / effects[mount]["ratio"])) < 0.25
    for observer in OBSERVERS:
        assert effects[observer]["low"] < 1 < effects[observer]["high"]
    assert "Mended until 2025-10-10" in mended.must("pointing", "whose", "--most", "30").out


def test_a_mount_not_set_up_since_its_service_has_no_effect(mended: Program) -> None:
    mended.must(
        "service", "add", "Alder", "new clutch", "--on", str(NIGHTS[-1] + timedelta(days=1)), "--mechanical"
    )
    one = mended.document("review", "Alder")
    assert one["effect"] is None
    assert "too few to judge" in mended.must("review", "Alder").out
    names = [effect["name"] for effect in mended.document("pointing", "whose")["effects"]]
    assert f"Alder until {NIGHTS[-1] + timedelta(days=1)}" in names
    assert "Alder" not in names
