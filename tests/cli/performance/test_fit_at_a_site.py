"""Which two stars would settle what a fit leaves open: told at the site that is named, and only there."""

import csv
import re
from pathlib import Path

import pytest

from tests.cli.program import Program

SAMPLES = Path(__file__).parents[2] / "samples"
AT = "2026-05-02T22:00:00Z"
FIT = ("pointing", "fit", "Heron")
SETTLING = re.compile(
    r"(?P<terms>.+) not determined yet.* check (?P<first>.+) and then (?P<second>.+?);.* Sync on (?P<sync>.+)\."
)


@pytest.fixture
def tarn(in_club: Program) -> Program:
    """The club in May, with the Tarn and its two people."""
    place = ("--lat", "54.6", "--lon", "-3.1", "--elevation-m", "180", "--tz", "Europe/London")
    in_club.must("site", "add", "Tarn", *place)
    for name in ("Iris", "Jon"):
        in_club.must("member", "add", name)
    in_club.now = in_club.now.replace(month=5)
    return in_club


def take_in(program: Program, folder: Path, rows: int | None) -> None:
    """The first rows of a sheet of eight nights, or all of it."""
    with (SAMPLES / "german_one_sync.csv").open(newline="") as file:
        sheet = list(csv.reader(file))
    path = folder / "part.csv"
    with path.open("w", newline="") as file:
        csv.writer(file).writerows(sheet if rows is None else sheet[: rows + 1])
    program.must("import", "arrivals", str(path))


def test_stars_that_stand_high_enough_are_named_for_what_is_open(tarn: Program, tmp_path: Path) -> None:
    """A sync and three checks of one night, six numbers, cannot tell three terms beside polar axis and zero points."""
    take_in(tarn, tmp_path, 4)
    without = tarn.document(*FIT)["words"]
    words = tarn.document(*FIT, "--site", "tarn", "--at", AT)["words"]
    assert words[:-1] == without
    found = SETTLING.fullmatch(words[-1])
    assert found is not None, words[-1]
    assert set(found["terms"].split(" and ")) <= {"cone error", "squareness", "sag"}
    stars = {found["first"], found["second"], found["sync"]}
    assert len(stars) == 3
    for star in stars:
        where = tarn.document("sky", "where", star, "--site", "Tarn", "--at", AT)
        assert where["alt_deg"] > 15
    shown = tarn.must(*FIT, "--site", "Tarn", "--at", AT).out
    assert f"  {words[-1]}" in shown.splitlines()


def test_at_another_hour_they_are_stars_of_that_hour(tarn: Program, tmp_path: Path) -> None:
    take_in(tarn, tmp_path, 4)
    for at in ("2026-05-02T21:30:00Z", "2026-11-20T20:00:00Z"):
        found = SETTLING.fullmatch(tarn.document(*FIT, "--site", "Tarn", "--at", at)["words"][-1])
        assert found is not None
        for star in (found["first"], found["second"], found["sync"]):
            assert tarn.document("sky", "where", star, "--site", "Tarn", "--at", at)["alt_deg"] > 15


def test_no_star_is_named_that_trees_hide_at_the_site(tarn: Program, tmp_path: Path) -> None:
    """Trees up to 45 degrees all round; without them lower stars are named, so that the trees decide."""
    take_in(tarn, tmp_path, 4)
    lowest = {}
    for trees in ("", "0:45,90:45,180:45,270:45"):
        if trees:
            tarn.must("site", "edit", "Tarn", "--horizon", trees)
        found = SETTLING.fullmatch(tarn.document(*FIT, "--site", "Tarn", "--at", AT)["words"][-1])
        assert found is not None
        stars = (found["first"], found["second"], found["sync"])
        lowest[trees] = min(
            tarn.document("sky", "where", star, "--site", "Tarn", "--at", AT)["alt_deg"] for star in stars
        )
    open_sky, among_trees = lowest.values()
    assert open_sky < 45 <= among_trees


def test_of_a_mount_that_is_known_nothing_is_to_be_settled(tarn: Program, tmp_path: Path) -> None:
    take_in(tarn, tmp_path, None)
    words = tarn.document(*FIT, "--site", "Tarn", "--at", AT)["words"]
    assert not any("not determined yet" in one for one in words)
    assert words == tarn.document(*FIT)["words"]


def test_a_site_that_is_not_on_record_is_refused(tarn: Program, tmp_path: Path) -> None:
    take_in(tarn, tmp_path, 4)
    answer = tarn(*FIT, "--site", "Tern")
    assert (answer.code, len(answer.error_lines)) == (2, 2)
    assert "Did you mean Tarn?" in answer.err
