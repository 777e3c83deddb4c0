"""Arrival offsets as they are written in the dark."""

import math
from contextlib import suppress

import erfa
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from obslog.offsets import (
    SIDEREAL_ARCSEC_PER_S,
    OffsetNeedsDeclination,
    OffsetNeedsField,
    UnreadableLanding,
    UnreadableOffset,
    is_offset_or_landing,
    looks_like_offset,
    offset_words,
    read_offset,
    read_offset_or_landing,
)

AMOUNTS = st.decimals(0, 500, places=2).map(str)


def in_arcmin(
    text: str, field_arcmin: float | None = None, dec_deg: float | None = None
) -> tuple[float, float]:
    return read_offset(text).in_arcmin(field_arcmin, dec_deg, "Vega")


def test_the_sidereal_rate_is_that_of_the_earth_rotation_angle() -> None:
    # IAU 2000 Resolution B1.8 as coded in ERFA: the turn in one day of UT1, less the whole turn.
    turn_rad = (erfa.era00(2461102.5, 1.0) - erfa.era00(2461102.5, 0.0)) % (2 * math.pi) + 2 * math.pi
    assert_allclose(SIDEREAL_ARCSEC_PER_S, math.degrees(turn_rad) * 3600 / 86400, rtol=1e-7)


@pytest.mark.parametrize(
    ("text", "east", "north"),
    [
        ("3E 2N", 3, 2),
        ("2n 3e", 3, 2),
        ("3E2N", 3, 2),
        ("3E, 2N", 3, 2),
        ("3 W", -3, 0),
        (".5S", 0, -0.5),
        ("1.5' w 30\" s", -1.5, -0.5),
        ("2d E", 120, 0),
        ("2 deg E", 120, 0),
        ("0E 0N", 0, 0),
        ("3,5E 2N", 3.5, 2),
        ("0,125E", 0.125, 0),
        ("3E,2N", 3, 2),
        ("3E, 2,5N", 3, 2.5),
        ("3°E 1° s", 180, -60),
        ("3 east, 2 north", 3, 2),
        ("1.5' West 30arcsec south", -1.5, -0.5),
        ("E3 N2", 3, 2),
        ("e 12 s 5", 12, -5),
        ("N.5", 0, 0.5),
        ("W3N2", -3, 2),
        ("E3°, S2", 180, -2),
        ("30arcsec E 2 arcmin N", 0.5, 2),
        ("30″E 30′′S", 0.5, -0.5),
    ],
)
def test_an_offset_in_angles(text: str, east: float, north: float) -> None:
    assert_allclose(in_arcmin(text), (east, north), rtol=1e-12)


@pytest.mark.parametrize(
    ("text", "east", "north"), [("0.4f W", -16.8, 0), ("0.5f E 0.25f N", 21, 10.5), ("1f N 3W", -3, 42)]
)
def test_an_offset_as_a_fraction_of_the_field(text: str, east: float, north: float) -> None:
    assert_allclose(in_arcmin(text, field_arcmin=42.0), (east, north), rtol=1e-12)


@pytest.mark.parametrize(
    ("text", "dec_deg", "east", "north"),
    [
        # 4 s x 16 x 15.041" = 962.63" = 16.044'; on the hour axis times cos(declination), on the other not.
        ("4s E @16x", 0.0, 16.0438, 0),
        ("4s E @16x", 60.0, 8.0219, 0),
        ("4s W @16x", -60.0, -8.0219, 0),
        ("4s N @16x", 60.0, 0, 16.0438),
        ("@16x 4s E 4s S", 60.0, 8.0219, -16.0438),
        ("4s E @16x 4s S @16x", 60.0, 8.0219, -16.0438),
        ("E4s S4s @16x", 60.0, 8.0219, -16.0438),
        ("10s E @0.5x", 0.0, 1.25342, 0),
        ("4s E @16x", 90.0, 0, 0),
    ],
)
def test_an_offset_as_centring_time_and_rate(text: str, dec_deg: float, east: float, north: float) -> None:
    assert_allclose(in_arcmin(text, dec_deg=dec_deg), (east, north), atol=1e-4)


def test_only_time_east_or_west_needs_the_declination() -> None:
    assert_allclose(in_arcmin("4s N @16x"), (0, 16.0438), atol=1e-4)
    with pytest.raises(OffsetNeedsDeclination, match="Vega"):
        in_arcmin("4s E @16x")


def test_a_fraction_needs_the_field() -> None:
    with pytest.raises(OffsetNeedsField):
        in_arcmin("0.4f W")


@pytest.mark.parametrize(
    "text",
    [
        "", "3", "E", "in", "3E 4W", "2N 1S", "3E 2N 1S", "4s E", "3E @16x", "4s E @16x @8x", "-3E", "nan E", "inf N",
        "3,500E", "1,5", "3°20'E", "E3 W4", "E 3 N", "E3N", "3 E 2", "4s E @16x 3s N @8x",
        "1e3E", "3E north", "3 Easter", "3E @", "3x E", "4s E @16",
    ],
)  # fmt: skip
def test_what_is_no_offset_is_refused(text: str) -> None:
    with pytest.raises(UnreadableOffset):
        read_offset(text)


@pytest.mark.parametrize(("text", "meant"), [("centerd", "centred"), ("Edeg", "edge"), ("findr", "finder")])
def test_a_misspelt_landing_is_refused_with_the_landing(text: str, meant: str) -> None:
    with pytest.raises(UnreadableLanding) as refused:
        read_offset_or_landing(text)
    assert (refused.value.exit_code, refused.value.hint) == (2, f"Did you mean {meant}?")


@given(AMOUNTS, st.sampled_from("EW"), AMOUNTS, st.sampled_from("NS"))
def test_an_offset_keeps_amounts_and_sides(east: str, east_side: str, north: str, north_side: str) -> None:
    expected = (
        float(east) * (1 if east_side == "E" else -1),
        float(north) * (1 if north_side == "N" else -1),
    )
    for text in (
        f"{east}{east_side} {north}{north_side}",
        f"{north}' {north_side} {east} {east_side}".lower(),
    ):
        assert in_arcmin(text) == expected


@given(st.floats(-500, 500), st.floats(-500, 500))
def test_an_offset_in_words_reads_back_to_a_twentieth(east: float, north: float) -> None:
    assert_allclose(in_arcmin(offset_words(east, north)), (east, north), atol=0.0501)


def _reads(text: str) -> bool:
    try:
        read_offset_or_landing(text)
    except UnreadableOffset:
        return False
    return True


@given(st.text("0123456789.,-+@xXfFdDegsS°'\" NnEeWw", max_size=40))
def test_any_text_is_read_as_numbers_or_refused(text: str) -> None:
    assert is_offset_or_landing(text) == _reads(text)
    with suppress(UnreadableOffset):
        assert all(math.isfinite(part) for part in in_arcmin(text, field_arcmin=42.0, dec_deg=30.0))


@pytest.mark.parametrize(
    "text", ["3E", "3", "4s @16x", "0.4f W", "E", "3E 2Q", "4s E", "E3 N2", "3,5E", "3°E", "9arcsec E"]
)
def test_what_was_surely_meant_as_an_offset_looks_like_one(text: str) -> None:
    assert looks_like_offset(text)


@pytest.mark.parametrize("text", ["Lyr", "M 31 west", "HIP 91262x", "centre"])
def test_a_name_does_not_look_like_an_offset(text: str) -> None:
    assert not looks_like_offset(text)
