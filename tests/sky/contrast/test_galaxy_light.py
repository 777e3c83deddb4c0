"""The light of bulge and disc: by hand, by numbers as published, and that the parts add up."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.integrate import quad

from obslog.sky.contrast.galaxy_light import (
    APERTURES,
    USUAL_BULGE_SHARE,
    bulge_light_within,
    bulge_share,
    disc_light_within,
    galaxy_light_within,
)


@pytest.mark.parametrize(
    ("kind", "below_mag"),
    [  # 0.324 t - 0.054 t^2 + 0.0047 t^3 by hand, t = 0, 3, 5, 6, 8, 10
        ("E", 0.0),
        ("S0", 0.6129),
        ("S0-a", 0.8575),
        ("SBa", 1.0152),
        ("SABb", 1.5424),
        ("Sc", 2.54),
    ],
)
def test_the_bulges_part_of_the_light_by_type(kind: str, below_mag: float) -> None:
    assert_allclose(bulge_share(kind), 10 ** (-0.4 * below_mag), rtol=1e-9)


@pytest.mark.parametrize("kind", ["Scd", "SABcd", "SBd", "SABm", "IB", "IAB", "I", "dE"])
def test_late_spirals_irregulars_and_dwarfs_have_no_bulge(kind: str) -> None:
    assert bulge_share(kind) == 0


@pytest.mark.parametrize("kind", [None, "", "S?", "E?", "Pec"])
def test_an_unknown_type_has_an_unknown_bulge(kind: str | None) -> None:
    assert np.isnan(bulge_share(kind))


def test_the_usual_bulge_is_that_of_sbc() -> None:
    assert_allclose(USUAL_BULGE_SHARE, bulge_share("Sbc"), atol=0.005)


def test_a_disc_holds_half_of_its_light_within_1_678_scale_lengths() -> None:
    # Freeman 1970: half of an exponential disc's light is within 1.678 scale lengths, and 0.264 within one (1 - 2/e).
    assert_allclose(disc_light_within(1.678 / 3.1), 0.5, atol=2e-4)
    assert_allclose(disc_light_within([0.0, 1 / 3.1]), [0.0, 1 - 2 / np.e])


def test_a_bulge_holds_half_of_its_light_within_its_effective_radius() -> None:
    # De Vaucouleurs 1948; the law itself, exp(-7.669 r^(1/4)), summed over rings.
    def light(r: float) -> float:
        return float(quad(lambda x: 2 * np.pi * x * np.exp(-7.669 * x**0.25), 0, r)[0])

    radii = [0.1, 0.5, 1.0, 3.0]
    whole = np.pi * 40320 / 7.669**8  # 8! pi / b^8
    assert_allclose(bulge_light_within(radii), [light(r) / whole for r in radii], rtol=1e-6)
    assert_allclose(bulge_light_within(1.0), 0.5, atol=1e-3)


def test_the_light_grows_outwards_and_a_sixth_is_left_outside() -> None:
    share = np.array([0.0, 0.1, 0.5, 1.0])
    light = galaxy_light_within(APERTURES[:, None], share, 0.7)
    assert light.shape == (APERTURES.size, 4)
    assert np.all(np.diff(light, axis=0) > 0)
    assert np.all(np.diff(light / APERTURES[:, None] ** 2, axis=0) < 0)  # and its mean brightness falls
    assert_allclose(light[-1], 0.84, atol=0.03)


def test_one_galaxy_is_as_one_of_many_and_unknown_stays_unknown() -> None:
    many = galaxy_light_within(0.2, [0.0, 0.24, 1.0], [0.4, 0.39, 1.0])
    assert_allclose(float(galaxy_light_within(0.2, 0.24, 0.39)), many[1])
    assert_allclose(many[0], disc_light_within(0.2))
    assert_allclose(many[2], bulge_light_within(0.2 / 0.28))
    assert np.isnan(galaxy_light_within(0.2, 0.24, np.nan))


def test_the_inner_light_of_the_andromeda_galaxy_is_as_photometry_has_it() -> None:
    """The inner 4' have 17.5 to 18.5 in V: S. M. Kent, Astron. J. 94 (1987) 306, and others, from memory."""
    light = galaxy_light_within(4 / np.sqrt(178 * 70), bulge_share("Sb"), 70 / 178)
    surface = 3.44 - 2.5 * np.log10(light) + 2.5 * np.log10(np.pi * 2**2 * 3600)
    assert 17.5 < surface < 18.7


def test_the_middle_of_the_triangulum_galaxy_is_no_core() -> None:
    """V within 1' about 20.5 to 21.5 apart from its starlike nucleus (from memory of its photometry)."""
    light = galaxy_light_within(1 / np.sqrt(62 * 37), bulge_share("Scd"), 37 / 62)
    surface = 5.72 - 2.5 * np.log10(light) + 2.5 * np.log10(np.pi / 4 * 3600)
    assert 20.5 < surface < 21.5
