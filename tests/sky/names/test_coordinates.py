"""Places given by their coordinates."""

import pytest

from obslog.sky.names.coordinates import BadCoordinates, point_or_none, precessed_to_j2000

ORION_RA, ORION_DEC = 5 + 35 / 60, -(5 + 23 / 60)


@pytest.mark.parametrize(
    "text",
    [
        "5h35m -5d23m", "5h35m-5d23m", "05h35m00s -05d23m00s", "5 35 -5 23", "05:35:00 -05:23:00", "5h35m -5°23'",
        "5h35m −5°23′", "5H35M -5D23M J2000", "5h35m -5d23m of J2000", "5h35.0m -5°23'",
        "5h 35m -5d 23m",
    ],
)  # fmt: skip
def test_the_usual_ways_of_writing_a_place(text: str) -> None:
    point = point_or_none(text)
    assert point is not None
    assert point.ra_hours == pytest.approx(ORION_RA)
    assert point.dec_deg == pytest.approx(ORION_DEC)
    assert point.name == "5h35.0m -5°23'"


def test_seconds_and_decimals_count() -> None:
    point = point_or_none("18h36m56.3s +38d47m01s")
    assert point is not None
    assert point.ra_hours == pytest.approx(18 + 36 / 60 + 56.3 / 3600)
    assert point.dec_deg == pytest.approx(38 + 47 / 60 + 1 / 3600)
    decimal = point_or_none("5.5h -0.5d")
    assert decimal is not None
    assert (decimal.ra_hours, decimal.dec_deg) == (5.5, -0.5)


def test_the_name_of_a_place_leads_to_it_again() -> None:
    for text in ("5h35m17s -0d05m", "23h59m59s +89d59m40s", "0h0m +0d"):
        point = point_or_none(text)
        assert point is not None
        again = point_or_none(point.name)
        assert again is not None
        assert again.dec_deg == pytest.approx(point.dec_deg, abs=0.5 / 60)
        assert again.name == point.name


@pytest.mark.parametrize(
    "text", ["Vega", "M 31", "", "31", "47 Tuc", "61 Cyg", "5h35m", "2MASS J0523-1403", "58 Ori"]
)
def test_other_texts_are_no_coordinates(text: str) -> None:
    assert point_or_none(text) is None


@pytest.mark.parametrize(
    "text", ["25h0m -5d", "5h61m -5d", "5h35m -95d", "5h35m -5d61m", "5h35m -5d of date", "5h -5d of 1066"]
)
def test_what_cannot_be_meant_is_refused(text: str) -> None:
    with pytest.raises(BadCoordinates):
        point_or_none(text)


def test_precession_from_a_year() -> None:
    # J. Meeus, Astronomical Algorithms (1998), example 21.b: Theta Persei, with its proper motion to 2028-11-13.19,
    # J2000: 41.054063, +49.227750 degrees; of that date: 41.547214, +49.348483. From memory.
    ra_hours, dec_deg = precessed_to_j2000(41.547214 / 15, 49.348483, 2028.867)
    assert ra_hours * 15 == pytest.approx(41.054063, abs=2e-5)
    assert dec_deg == pytest.approx(49.227750, abs=2e-5)


def test_coordinates_of_a_year_are_moved_to_j2000() -> None:
    point = point_or_none("2h46m11.331s +49d20m54.54s of 2028.867")
    assert point is not None
    assert point.ra_hours * 15 == pytest.approx(41.054063, abs=1e-4)
