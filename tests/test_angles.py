"""Latitudes and longitudes as people write them, and angles as they are printed."""

import math
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from obslog.angles import (
    compass_point,
    degrees_and_minutes,
    read_latitude_deg,
    read_longitude_deg,
    sexagesimal,
)
from obslog.errors import NotANumber, OutOfRange


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("52.2", 52.2),
        ("-33.9", -33.9),
        ("\u221233.9", -33.9),  # a typographic minus
        ("+52.2", 52.2),
        ("52.2 N", 52.2),
        ("33.9s", -33.9),
        ("52 12 30 N", 52 + 12 / 60 + 30 / 3600),
        ("33°54'S", -33.9),
        ("33 54 30 S", -(33 + 54 / 60 + 30 / 3600)),
        ("-33 54 30", -(33 + 54 / 60 + 30 / 3600)),
        ("52°12′30″", 52 + 12 / 60 + 30 / 3600),
        ("52d12m30sN", 52 + 12 / 60 + 30 / 3600),
        ("52:12:30.6", 52 + 12 / 60 + 30.6 / 3600),
        ("52 12.5 N", 52 + 12.5 / 60),
        ("-0 30", -0.5),
        ("0 30 S", -0.5),
        ("90", 90.0),
        ("-90", -90.0),
    ],
)
def test_a_latitude_is_read(text: str, expected: float) -> None:
    assert_allclose(read_latitude_deg(text), expected, rtol=1e-12)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("-3.1", -3.1),
        ("3 6 W", -3.1),
        ("18°29'E", 18 + 29 / 60),
        ("3 6 30s", 3 + 6 / 60 + 30 / 3600),
        ("180", 180.0),
    ],
)
def test_a_longitude_is_read_with_east_positive(text: str, expected: float) -> None:
    assert_allclose(read_longitude_deg(text), expected, rtol=1e-12)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "north",
        "nan",
        "inf",
        "1e1",
        "52 60",
        "52 12 60",
        "52.2.1",
        "52.5 30",
        "52 12.5 30",
        "-52 N",
        "52 E",
        "52 N N",
    ],
)
def test_what_is_no_latitude_is_refused(text: str) -> None:
    with pytest.raises(NotANumber, match="Latitude"):
        read_latitude_deg(text)


def test_seconds_marked_s_could_mean_south_and_are_refused() -> None:
    with pytest.raises(NotANumber) as caught:
        read_latitude_deg("33 54 30s")
    assert "end with N or S" in caught.value.hint


@pytest.mark.parametrize("text", ["95", "-90.0001", "90 0 1 S", "5212"])
def test_a_latitude_beyond_the_pole_is_refused(text: str) -> None:
    with pytest.raises(OutOfRange, match="Latitude"):
        read_latitude_deg(text)


@pytest.mark.parametrize("text", ["180.1", "-181", "180 0 1 W", "359"])
def test_a_longitude_beyond_180_is_refused(text: str) -> None:
    with pytest.raises(OutOfRange, match="Longitude"):
        read_longitude_deg(text)


@given(st.integers(0, 89), st.integers(0, 59), st.integers(0, 59), st.sampled_from("NS"))
def test_all_ways_of_writing_an_angle_mean_the_same(
    degrees: int, minutes: int, seconds: int, side: str
) -> None:
    value = (degrees + minutes / 60 + seconds / 3600) * (1 if side == "N" else -1)
    sign = "-" if side == "S" else ""
    for text in (
        f"{degrees} {minutes} {seconds} {side}",
        f"{degrees}°{minutes}'{seconds}\"{side.lower()}",
        f"{sign}{degrees}:{minutes:02d}:{seconds:02d}",
        f"{sign}{abs(value):.12f}",
    ):
        assert_allclose(read_latitude_deg(text), value, atol=1e-9)


@given(st.text("0123456789.-+ :NnSsEeWwdm°'\""))
def test_any_text_is_read_within_range_or_refused(text: str) -> None:
    with suppress(NotANumber, OutOfRange):
        assert -180 <= read_longitude_deg(text) <= 180


@given(st.floats(-90, 90))
def test_degrees_and_minutes_read_back_to_half_a_minute(value: float) -> None:
    assert_allclose(read_latitude_deg(degrees_and_minutes(value, "NS")), value, atol=0.5 / 60 + 1e-9)


@pytest.mark.parametrize(
    ("value", "sides", "expected"),
    [
        (52.2, "NS", "52° 12' N"),
        (-33.9, "NS", "33° 54' S"),
        (-0.1, "EW", "0° 06' W"),
        (51.9999, "NS", "52° 00' N"),
    ],
)
def test_degrees_and_minutes_are_written_with_their_side(value: float, sides: str, expected: str) -> None:
    assert degrees_and_minutes(value, sides) == expected


@pytest.mark.parametrize(
    ("value", "digits", "signed", "expected"),
    [
        (12.5, 0, False, "12:30:00"),
        (-0.5, 0, True, "-00:30:00"),
        (0.5, 0, True, "+00:30:00"),
        (1 + 59 / 60 + 59.96 / 3600, 1, False, "02:00:00.0"),
        (1 + 59 / 60 + 59.94 / 3600, 1, False, "01:59:59.9"),
        (-1e-9, 0, True, "+00:00:00"),
        (math.nan, 0, False, ""),
    ],
)
def test_sexagesimal_carries_over_and_signs(value: float, digits: int, signed: bool, expected: str) -> None:
    assert sexagesimal(value, digits, signed) == expected


@given(st.floats(-359, 359), st.integers(0, 3))
def test_sexagesimal_keeps_the_value_to_its_last_digit(value: float, digits: int) -> None:
    text = sexagesimal(value, digits)
    hours, minutes, seconds = text.lstrip("-").split(":")
    assert float(minutes) < 60
    assert float(seconds) < 60
    size = int(hours) + int(minutes) / 60 + float(seconds) / 3600
    assert_allclose(-size if text.startswith("-") else size, value, atol=0.5 * 10**-digits / 3600 + 1e-9)


@pytest.mark.parametrize(
    ("az_deg", "words"),
    [(0.0, "north"), (22.0, "north"), (23.0, "north-east"), (90.0, "east"), (200.0, "south"), (203.0, "south-west"),
     (337.0, "north-west"), (338.0, "north"), (359.9, "north")],
)  # fmt: skip
def test_directions_are_the_nearest_of_eight_points(az_deg: float, words: str) -> None:
    assert compass_point(az_deg) == words


def test_all_points_are_named_once_round_the_horizon() -> None:
    assert len({compass_point(float(az)) for az in range(0, 360, 45)}) == 8
