"""Double stars: the list agrees with the star table, and what an aperture parts."""

import math

import pytest

from obslog.sky.names.double_stars import Parted, double_named, double_stars, parted
from obslog.sky.names.stars import find_star


def combined(a: float, b: float) -> float:
    return -2.5 * math.log10(10 ** (-0.4 * a) + 10 ** (-0.4 * b))


def test_there_are_eighty_showpieces_each_once() -> None:
    names = [double.star.name for double in double_stars()]
    assert len(names) == len(set(names)) >= 80


def test_the_magnitudes_agree_with_the_star_table() -> None:
    # Of wide pairs the table has the brighter star alone. Alpha Herculis varies by a magnitude.
    off = [
        double.star.name
        for double in double_stars()
        if min(
            abs(double.star.magnitude - combined(double.magnitude_a, double.magnitude_b)),
            abs(double.star.magnitude - double.magnitude_a),
        )
        > 0.35
    ]
    assert off == ["Rasalgethi"]


def test_the_fainter_star_is_second_and_the_distances_are_those_of_double_stars() -> None:
    assert [d for d in double_stars() if d.magnitude_b < d.magnitude_a] == []
    assert [d for d in double_stars() if not 1 < d.separation_arcsec < 400] == []


@pytest.mark.parametrize(
    ("typed", "separation_arcsec"),
    [
        ("Albireo", 34.5),
        ("61 Cyg", 31.5),
        ("eps1 Lyr", 2.2),
        ("beta Tuc", 27),
        ("zeta CrB", 6.3),
        ("Castor", 5.5),
    ],
)
def test_well_known_pairs(typed: str, separation_arcsec: float) -> None:
    double = double_named(find_star(typed).name)
    assert double is not None
    assert double.separation_arcsec == pytest.approx(separation_arcsec, rel=0.1)


def test_a_single_star_is_no_pair() -> None:
    assert double_named("Vega") is None


@pytest.mark.parametrize(
    ("aperture_mm", "separation_arcsec", "answer"),
    [  # Dawes 116/D, Rayleigh 138/D: at 100 mm 1.16" and 1.38"
        (100, 2.4, Parted.YES), (100, 1.38, Parted.YES), (100, 1.3, Parted.JUST), (100, 1.16, Parted.JUST),
        (100, 1.1, Parted.NO), (50, 2.4, Parted.JUST),
    ],
)  # fmt: skip
def test_what_a_tube_parts(aperture_mm: float, separation_arcsec: float, answer: Parted) -> None:
    assert parted(separation_arcsec, 116 / aperture_mm, 138 / aperture_mm) is answer
