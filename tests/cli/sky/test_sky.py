"""The sky and optics on the command line: for people, for scripts, and what is refused."""

from pathlib import Path

import pytest
from numpy.testing import assert_allclose

from tests.cli.program import Program

SAMPLES = Path(__file__).parents[2] / "samples"
AT_DUSK, AT_NOON = ("--at", "2026-03-02T20:40:00Z"), ("--at", "2026-06-21T12:00:00Z")
SITE = ("--site", "Mill Field")
COMMANDS = [
    ("sky", "where", "Vega", *SITE),
    ("sky", "when", "M", "31", *SITE),
    ("sky", "sun-moon", *SITE),
    ("sky", "pole", *SITE),
    ("sky", "find", "deneb"),
    ("optics", "Long tube", "Wide 25"),
]


@pytest.mark.parametrize("words", COMMANDS)
def test_each_command_speaks_plainly_through_a_pipe_and_gives_one_document(
    in_club: Program, words: tuple[str, ...]
) -> None:
    told = in_club.must(*words)
    assert told.out
    assert "\x1b" not in told.out + told.err
    assert in_club.document(*words)


def test_where_has_the_keys_that_scripts_rely_on(in_club: Program) -> None:
    found = in_club.document("sky", "where", "Vega", *SITE, *AT_DUSK)
    keys = ["name", "ra_hours", "dec_deg", "hour_angle_hours", "alt_deg", "az_deg", "airless_alt_deg"]
    assert list(found)[:7] == keys
    assert found["name"] == "Vega"
    # Vega's declination of date is +38.8 degrees (J2000 +38.784, Hipparcos): it grazes the horizon at latitude 52.
    assert_allclose(found["dec_deg"], 38.8, atol=0.05)
    assert 0 < found["alt_deg"] < 3
    assert found["alt_deg"] > found["airless_alt_deg"]


def test_the_caution_is_told_where_it_must_be(in_club: Program) -> None:
    for words in (("where", "Sun"), ("where", "Vega"), ("pole",), ("sun-moon",)):
        assert in_club.must("sky", *words, *SITE, *AT_NOON).out.startswith("CAUTION. "), words
        assert in_club.document("sky", *words, *SITE, *AT_NOON)["caution"]
    assert in_club.must("sky", "find", "sun").out.startswith("CAUTION. ")
    heron, noon = ("Heron", *SITE, *AT_NOON), ("--site", "Mill Field", *AT_NOON)
    pointing: tuple[tuple[str, ...], ...] = (
        ("stars", *heron),
        ("run-plan", *heron),
        ("mistakes", *noon, "--star", "Sun", "--east", "1", "--north", "1"),
    )
    for line in pointing:
        assert in_club.must("pointing", *line).out.startswith("CAUTION. "), line
    assert in_club.must("pointing", "drift", "Procyon 20:30 10 1N", *SITE).out.startswith("star")
    assert "CAUTION" not in in_club.must("sky", "where", "Vega", *SITE, *AT_DUSK).out


def test_the_view_of_an_eyepiece_is_the_textbooks(in_club: Program) -> None:
    # 1000 mm and 25 mm: 40 times; 212 mm / 40 = 5.3 mm of exit pupil; 1000 / 212; 53 degrees / 40 = 1.325 degrees.
    view = in_club.document("optics", "long tube", "wide 25")["view"]
    assert view["magnification"] == 40
    assert_allclose([view["exit_pupil_mm"], view["focal_ratio"]], [5.3, 1000 / 212])
    assert_allclose(view["true_field_deg"], 1.325)
    doubled = in_club.document("optics", "Long tube", "Wide 25", "--barlow", "2")["view"]
    assert_allclose([doubled["magnification"], doubled["exit_pupil_mm"]], [80, 2.65])


def test_what_is_found_is_limited_and_the_rest_counted(in_club: Program) -> None:
    answer = in_club.must("sky", "find", "ngc 70", "--most", "3")
    assert len(answer.out.splitlines()) == 4
    assert "The first 3 of" in answer.err
    assert in_club.must("sky", "find", "qqqq").err == "Nothing is named like 'qqqq'.\n"
    assert "Did you mean Dumbbell Nebula" in in_club.must("sky", "find", "dumbel nebula").err
    assert in_club.must("sky", "find", "qqqq", "--json").document == []


@pytest.mark.parametrize(
    "words",
    [
        ("sky", "where", "Vegga", *SITE), ("sky", "where", "", *SITE), ("sky", "where", "Vega", "--site", "Nowhere"),
        ("sky", "where", "Vega"), ("sky", "where", *SITE), ("sky", "where", "Vega", *SITE, "--at", "25:00"),
        ("sky", "where", "Vega", *SITE, "--at", "2150-01-01T00:00Z"),
        ("sky", "when", "Vega", *SITE, "--above", "95"), ("sky", "when", "Vega", *SITE, "--above", "high"),
        ("sky", "pole", "--site", ""), ("sky", "find", "deneb", "--most", "0"),
        ("optics", "Long tube", "Wide 26"), ("optics", "Long tube", "Wide 25", "--barlow", "0"),
        ("optics", "Long tube", "Wide 25", "--barlow", "nan"),
    ],
)  # fmt: skip
def test_wrong_input_is_two_lines_and_exit_code_2(in_club: Program, words: tuple[str, ...]) -> None:
    answer = in_club(*words)
    assert (answer.code, answer.out) == (2, "")
    assert len(answer.error_lines) == 2


def test_a_site_that_a_sheet_only_named_says_what_to_tell(in_club: Program) -> None:
    in_club.now = in_club.now.replace(month=5)
    in_club.must("import", "arrivals", str(SAMPLES / "german_south.csv"), "--create")
    answer = in_club("sky", "where", "Vega", "--site", "Saltpan")
    assert (answer.code, answer.out) == (1, "")
    assert "obslog site edit Saltpan --lat DEG" in answer.err


def test_a_place_is_given_by_coordinates_and_a_comet_is_refused_in_words(in_club: Program) -> None:
    document = in_club.document("sky", "where", "5h35m -5d23m", *SITE)
    assert document["name"] == "5h35.0m -5°23'"
    # Of date: precession moves it by a quarter of a degree in right ascension, less in declination, in 26 years.
    assert_allclose(document["dec_deg"], -5.38, atol=0.1)
    assert_allclose(document["ra_hours"], 5.583 + 26 * 3.07 / 3600, atol=0.005)
    refused = in_club("sky", "where", "C/2023 A3", *SITE)
    assert refused.code == 2
    assert "comets are not known" in refused.err
    assert "5h35m -5d23m" in refused.err


def test_a_magnitude_that_was_worked_out_says_so(in_club: Program) -> None:
    assert "10.4 V, from B" in in_club.must("sky", "find", "NGC 157", "--most", "1").out
    assert in_club.document("sky", "find", "NGC 157", "--most", "1")[0]["magnitude_from"] == "from B"
