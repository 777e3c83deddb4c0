"""A place in whatever notation it was written or copied: read back the same, and refused where it is not certain."""

from contextlib import suppress
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from obslog.errors import ObslogError, WrongInput
from obslog.grammar.place_words import (
    LongitudeFirst,
    SideMissing,
    TwoPlacesMeant,
    UnreadablePlace,
    place_in_words,
    read_place,
)

# By hand: 12' is a fifth of a degree, 7'12" are 7.2' and so 0.12°, 30" are half a minute.
MILL_FIELD = (52.2, 0.12)


@pytest.mark.parametrize(
    "text",
    [
        "52.2 0.12",
        "52.2, 0.12",
        "52.2,0.12",
        "52.2;0.12",
        "52.2/0.12",
        "(52.2, 0.12)",
        "52.2\t0.12",
        "+52.2 +0.12",
        "52,2 0,12",
        "52,2; 0,12",
        "52,2, 0,12",
        "52,2° N, 0,12° E",
        "N52.2 E0.12",
        "E0.12 N52.2",
        "0.12E 52.2N",
        "52.2n0.12e",
        "52.2° north, 0.12° east",
        "52.2 degrees North 0.12 degrees East",
        "lat 52.2 lon 0.12",
        "Longitude: 0.12, latitude: 52.2",
        "geo:52.2,0.12",
        "GEO:52.2,0.12;u=35",
        "geo:52.2,0.12,20?z=12",
        "52°12'N 0°7'12\"E",
        "52° 12′ 0″ N, 0° 07′ 12″ E",
        "52 12 N 0 7.2 E",
        "52 12 0 N, 0 7 12 E",
        "N 52° 12.000' E 000° 07.200'",
        "52 12 0 0 7 12",
        "52:12:00 0:07:12",
        "52d12m0sN 0d7m12sE",
        "52°12' 0°7.2'",
        "52º12’0”N 0º7’12”E",
    ],
)
def test_one_place_in_many_notations(text: str) -> None:
    assert_allclose(read_place(text), MILL_FIELD, rtol=0, atol=1e-12)


@pytest.mark.parametrize(
    ("text", "lat_deg", "lon_deg"),
    [
        ("52 12 30 N, 0 7 12 E", 52 + 12.5 / 60, 0.12),
        ("-45,87; 170,5", -45.87, 170.5),
        ("45.87S 170.5E", -45.87, 170.5),
        ("\u221245.87 170.5", -45.87, 170.5),
        ("geo:-45.87,170.5", -45.87, 170.5),
        ("33.9s 18.4e", -33.9, 18.4),
        ("33 54 30 S 18 29 E", -(33 + 54.5 / 60), 18 + 29 / 60),
        ("-33 54 18 29", -33.9, 18 + 29 / 60),
        ("52 -3 6", 52.0, -3.1),
        ("52.2 -0.12", 52.2, -0.12),
        ("52.2,-0.12", 52.2, -0.12),
        ("52,-3", 52.0, -3.0),
        ("52.2 N 3 6 W", 52.2, -3.1),
        ("90 0", 90.0, 0.0),
        ("0 180", 0.0, 180.0),
    ],
)
def test_signs_and_sides(text: str, lat_deg: float, lon_deg: float) -> None:
    assert_allclose(read_place(text), (lat_deg, lon_deg), rtol=0, atol=1e-12)


@pytest.mark.parametrize(
    ("text", "failure"),
    [
        ("52,12", TwoPlacesMeant),  # 52° and 12°, or a latitude of 52.12° alone
        ("52,2,0,12", TwoPlacesMeant),
        ("52.2 N 0.12", SideMissing),
        ("52.2 0.12 W", SideMissing),
        ("170.5 -45.87", LongitudeFirst),
        ("", UnreadablePlace),
        ("52.2", UnreadablePlace),
        ("north", UnreadablePlace),
        ("behind the mill", UnreadablePlace),
        ("52 12 30 0 7", UnreadablePlace),  # five numbers: which of the two has no seconds?
        ("52.2 O 3", UnreadablePlace),  # an O is east in one language and west in another
        ("lat 52.2 lat 0.12", UnreadablePlace),
    ],
)
def test_what_is_not_certain_is_refused(text: str, failure: type[ObslogError]) -> None:
    with pytest.raises(failure):
        read_place(text)


@pytest.mark.parametrize(
    "text", ["52.2N 0.12N", "52.2 181", "95 200", "52.2 0 75", "N52.2 0.12E", "-52.2N 0.12E"]
)
def test_a_number_that_cannot_be_is_refused(text: str) -> None:
    with pytest.raises(WrongInput):
        read_place(text)


def test_where_the_order_is_turned_the_right_one_is_proposed() -> None:
    with pytest.raises(LongitudeFirst) as caught:
        read_place("170.5 -45.87")
    assert "-45.87 170.5" in caught.value.hint
    assert "45.87° south, 170.5° east" in caught.value.hint


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg", "words"),
    [
        (52.2, 0.12, "52.2° north, 0.12° east"),
        (-45.87, 170.5, "45.87° south, 170.5° east"),
        (52.0, -3.1, "52° north, 3.1° west"),
        (0.0, -0.0, "0° north, 0° east"),
        (52 + 12.5 / 60, 0.12, "52.20833° north, 0.12° east"),
    ],
)
def test_a_place_is_said_back_in_words(lat_deg: float, lon_deg: float, words: str) -> None:
    assert place_in_words(lat_deg, lon_deg) == words


def written(degrees: int, minutes: int, seconds: int, negative: bool, sides: str) -> list[tuple[str, str]]:
    """The same angle in notations, each with the kind of its mate: signed, or with its letter behind or before it."""
    size = degrees + minutes / 60 + seconds / 3600
    sign, side = "-" if negative else "", sides[1 if negative else 0]
    parts = f"{degrees} {minutes} {seconds}"
    return [
        (f"{sign}{size:.9f}", "signed"),
        (f"{sign}{degrees}:{minutes:02d}:{seconds:02d}", "signed"),
        (f"{sign}{size:.9f}".replace(".", ","), "comma"),
        (f"{parts} {side}", "behind"),
        (f"{degrees}°{minutes:02d}'{seconds:02d}\"{side}", "behind"),
        (f"{degrees}° {minutes}′ {seconds}″ {side.lower()}", "behind"),
        (f"{size:.9f}° {({'N': 'north', 'S': 'south', 'E': 'east', 'W': 'west'})[side]}", "behind"),
        (f"{size:.9f}{side}".replace(".", ","), "behind"),
        (f"{side}{size:.9f}", "before"),
        (f"{side} {degrees}° {minutes + seconds / 60:.9f}'", "before"),
    ]


PARTS = st.tuples(st.integers(0, 59), st.integers(0, 59), st.booleans())


@given(st.integers(0, 89), PARTS, st.integers(0, 179), PARTS)
def test_any_place_written_in_any_notation_reads_back_to_the_same_place(
    lat: int, lat_parts: tuple[int, int, bool], lon: int, lon_parts: tuple[int, int, bool]
) -> None:
    expected = [
        (whole + minutes / 60 + seconds / 3600) * (-1 if negative else 1)
        for whole, (minutes, seconds, negative) in ((lat, lat_parts), (lon, lon_parts))
    ]
    both = product(written(lat, *lat_parts, "NS"), written(lon, *lon_parts, "EW"))
    for (one, kind), (two, other_kind) in both:
        if kind != other_kind:
            continue
        partings = ["; ", "/"] if kind == "comma" else [" ", ", ", "; "]
        for text in [f"{one}{parting}{two}" for parting in partings]:
            assert_allclose(read_place(text), expected, rtol=0, atol=1e-8, err_msg=text)
        if kind in ("behind", "before"):
            assert_allclose(read_place(f"{two}, {one}"), expected, rtol=0, atol=1e-8)


@given(st.floats(-90, 90), st.floats(-180, 180))
def test_what_is_said_back_reads_in_as_the_same_place(lat_deg: float, lon_deg: float) -> None:
    assert_allclose(read_place(place_in_words(lat_deg, lon_deg)), (lat_deg, lon_deg), rtol=0, atol=5.1e-6)


@given(st.text("0123456789.,;:-+ NSEWnsewdm°'\"/latgeo", max_size=30))
def test_any_text_is_a_place_on_the_earth_or_is_refused(text: str) -> None:
    with suppress(WrongInput):
        lat_deg, lon_deg = read_place(text)
        assert -90 <= lat_deg <= 90
        assert -180 <= lon_deg <= 180
