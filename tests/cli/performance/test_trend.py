"""Pointing on the command line: fits, trends, plans, drifts and mistakes, for people and for scripts."""

from pathlib import Path

import pytest
from numpy.testing import assert_allclose

from tests.cli.program import Program

SAMPLES = Path(__file__).parents[2] / "samples"
SITE, AT = ("--site", "Tarn"), ("--at", "2026-03-02T20:40:00Z")
FITTED = ("pointing", "fit", "Heron")
MISTAKES = ("pointing", "mistakes", *SITE, *AT, "--star", "Capella")
COMMANDS = [
    FITTED,
    (*FITTED, "--chart", "--ring-spacing-mm", "250"),
    ("pointing", "trend", "Heron"),
    ("pointing", "trend", "Heron", "--mechanics"),
    ("pointing", "compare", "Heron"),
    ("pointing", "whose"),
    ("pointing", "stars", "Heron", *SITE, *AT, "--syncs", "2", "--field", "73"),
    ("pointing", "run-plan", "Heron", *SITE, *AT),
    ("pointing", "drift", "Procyon 21:40 10 2.5N", "5hE/+10 10 1S", *SITE),
    (*MISTAKES, "--east", "11", "--north", "0"),
]


@pytest.fixture
def at_the_tarn(in_club: Program) -> Program:
    """The program with a site and two people more, and no arrivals."""
    in_club.must(
        "site",
        "add",
        "Tarn",
        "--lat",
        "54.6",
        "--lon",
        "-3.1",
        "--elevation-m",
        "180",
        "--tz",
        "Europe/London",
    )
    for name in ("Iris", "Jon"):
        in_club.must("member", "add", name)
    return in_club


@pytest.fixture
def tarn(at_the_tarn: Program) -> Program:
    """The program in May, with a sheet of eight nights at the Tarn."""
    at_the_tarn.now = at_the_tarn.now.replace(month=5)
    at_the_tarn.must("import", "arrivals", str(SAMPLES / "german_wrong_stars.csv"))
    return at_the_tarn


@pytest.mark.parametrize("words", COMMANDS)
def test_each_command_speaks_plainly_through_a_pipe_and_gives_one_document(
    tarn: Program, words: tuple[str, ...]
) -> None:
    told = tarn.must(*words)
    assert told.out
    assert "\x1b" not in told.out + told.err
    assert tarn.document(*words)


def test_the_fit_has_the_keys_that_scripts_rely_on(tarn: Program) -> None:
    found = tarn.document(*FITTED, "--tube", "long TUBE")
    assert list(found)[:5] == ["mount", "tube", "noise_arcmin", "mechanical", "setups"]
    assert (found["mount"], found["tube"]) == ("Heron", "Long tube")
    assert {frozenset(term) for term in found["mechanical"]} == {
        frozenset({"since", "term", "value_arcmin", "sd_arcmin", "determined"})
    }
    setup = found["setups"][4]
    keys = {"night", "setup", "polar_altitude", "polar_azimuth", "separation_arcmin", "arrivals"}
    assert keys | {"rms_arcmin", "suspects"} <= set(setup)
    assert set(setup["polar_altitude"]) == {"value_arcmin", "sd_arcmin", "determined"}
    assert (setup["night"], setup["suspects"]) == ("2026-03-19", [31])  # the truth: one wrong star that night
    assert [len(s["suspects"]) for s in found["setups"]] == [0, 0, 0, 0, 1, 0, 1, 0]


def test_the_trend_has_the_keys_that_scripts_rely_on(tarn: Program) -> None:
    found = tarn.document("pointing", "trend", "Heron", "--mechanics")
    assert {"mount", "setups", "slope", "alarms", "verdict"} <= set(found)
    assert set(found["slope"]) == {"per_year", "low", "high", "p"}
    keys = {"night", "setup", "arrivals", "half_land_within_arcmin", "low_arcmin", "high_arcmin"}
    assert keys <= set(found["setups"][0])
    assert found["mechanical_changes"] == []
    assert {"setups", "slope", "verdict", "reasons"} <= set(found["polar_trend"])
    assert "polar_trend" not in tarn.document("pointing", "trend", "Heron")


def test_a_service_is_told_with_what_it_changed(tarn: Program) -> None:
    tarn.must("service", "add", "Heron", "greased", "--on", "2026-03-10", "--mechanical")
    changes = tarn.document("pointing", "trend", "Heron", "--mechanics")["mechanical_changes"]
    assert [(c["since"], c["term"]) for c in changes] == [
        ("2026-03-10", term) for term in ("cone", "squareness", "sag")
    ]
    assert "service of 2026-03-10: cone" in tarn.must("pointing", "trend", "Heron", "--mechanics").out


def test_plans_have_the_keys_that_scripts_rely_on(tarn: Program) -> None:
    found = tarn.document("pointing", "stars", "Heron", "--tube", "Long tube", *SITE, *AT, "--syncs", "3")
    assert [star["order"] for star in found["stars"]] == [1, 2, 3]
    assert {"order", "name", "alt_deg", "az_deg", "pier_side"} <= set(found["stars"][0])
    assert {"half", "ninety_five_percent"} <= set(found["expected_landing_arcmin"])


def test_an_hour_is_summer_time_on_the_command_line_too(tarn: Program) -> None:
    # Capella at declination +46.0: an hour of time, 15.04 degrees, is 10.45 degrees along its parallel.
    found = tarn.document(*MISTAKES, "--east", "10.45", "--north", "0")
    assert set(found["causes"][0]) >= {"cause", "probability", "remedy"}
    assert found["causes"][0]["cause"] == "summer time"
    assert_allclose(sum(cause["probability"] for cause in found["causes"]), 1)
    then = tarn.must(*MISTAKES, "--east", "10.45", "--north", "0", "--then", "Castor 12.8 0.1", "--most", "1")
    assert "summer time" in then.out
    assert len(then.out.splitlines()) == 3


def test_by_day_plans_and_mistakes_carry_the_caution(tarn: Program) -> None:
    noon = ("--at", "2026-06-21T12:00:00Z")
    for words in (
        ("pointing", "stars", "Heron", *SITE, *noon),
        ("pointing", "run-plan", "Heron", *SITE, *noon),
        ("pointing", "mistakes", *SITE, *noon, "--star", "Capella", "--east", "5", "--north", "0"),
    ):
        assert "CAUTION. " in tarn.must(*words).out
        assert tarn.document(*words)["caution"]


WRONG = [
    ("pointing", "fit", "Heronn"), (*FITTED, "--tube", "No tube"), (*FITTED, "--most", "0"),
    ("pointing", "trend", "Heronn"), ("pointing", "compare", "--service"),
    ("pointing", "stars", "Heron", *SITE, *AT, "--syncs", "0"),
    ("pointing", "stars", "Heron", *SITE, *AT, "--field", "nan"),
    ("pointing", "stars", "Heron", *SITE, *AT, "--horizon", "north:10"), ("pointing", "stars", "Heron", *AT),
    ("pointing", "run-plan", "Heron", *SITE, *AT, "--lowest", "80", "--highest", "20"),
    ("pointing", "drift", *SITE), ("pointing", "drift", "Procyon", *SITE), ("pointing", "drift", "30h/0 10 2N", *SITE),
    ("pointing", "drift", "0h/0 10 2N", *SITE, "--exposure", "nan"),
    MISTAKES, (*MISTAKES, "--east", "nan", "--north", "0"), (*MISTAKES, "--landed-alt", "95", "--landed-az", "0"),
    (*MISTAKES, "--east", "1", "--north", "0", "--then", "Vega"),
    (*MISTAKES, "--east", "1", "--north", "0", "--then", "-14 0.3"),
    ("pointing", "mistakes", *SITE, *AT, "--star", "Fomalhaut", "--east", "1", "--north", "0"),
]  # fmt: skip


@pytest.mark.parametrize("words", WRONG)
def test_wrong_input_is_two_lines_and_exit_code_2(at_the_tarn: Program, words: tuple[str, ...]) -> None:
    answer = at_the_tarn(*words)
    assert (answer.code, answer.out) == (2, ""), answer
    assert len(answer.error_lines) == 2


def test_what_has_no_arrivals_is_exit_code_1(at_the_tarn: Program) -> None:
    for command in (("fit", "Heron"), ("trend", "Heron"), ("whose",)):
        answer = at_the_tarn("pointing", *command)
        assert (answer.code, answer.out) == (1, "")
        assert len(answer.error_lines) == 2


def test_too_few_nights_tell_no_growth_in_the_comparison(tarn: Program) -> None:
    tarn.must("service", "add", "Heron", "greased", "--on", "2026-03-30", "--mechanical")
    line = tarn.must("pointing", "compare", "Heron").out.splitlines()[1].split("\t")
    assert (line[0], line[1], line[4:7]) == ("Heron", "too few nights", ["", "", ""])
