"""Moonlight, the eye's threshold and limits for stars against published numbers and well-known facts of observing.

What is marked "from memory" was written down without the paper at hand.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.sky.contrast.moonlight import mag_per_arcsec2, moonlight_nl, nanolamberts
from obslog.sky.contrast.threshold import ZERO_MAG_LUX, least_star_lux, luminance_cd_m2
from obslog.sky.contrast.through_tube import (
    FIELD_FACTOR,
    KEEN_FIELD_FACTOR,
    Views,
    faintest_star_mag,
    glow_margin_mag,
    naked_eye,
    usual_magnifications,
    views_through,
)

KEEN_MAG = -2.5 * np.log10(FIELD_FACTOR / KEEN_FIELD_FACTOR)


def tube(aperture_mm: float) -> Views:
    return views_through(aperture_mm, usual_magnifications(aperture_mm))


def even_ellipse(magnitude: float, major_arcmin: float, minor_arcmin: float) -> tuple[float, float]:
    """Magnitudes per square arcsecond, and square arcminutes."""
    area = np.pi / 4 * major_arcmin * minor_arcmin
    return magnitude + 2.5 * np.log10(area * 3600), area


def test_the_dark_sky_of_mauna_kea_is_79_nanolamberts() -> None:
    # Krisciunas and Schaefer 1991: 21.587 mag per square arcsecond, 79.0 nL (from memory).
    assert_allclose(nanolamberts(21.587), 79.0, atol=0.05)
    assert_allclose(mag_per_arcsec2(79.0), 21.587, atol=0.001)


def test_both_units_of_brightness_agree() -> None:
    # By definition a lambert is 1/pi candela per square centimetre: 1 nL is 3.1831e-6 cd/m2. The zero points differ by
    # up to 1 %.
    assert_allclose(
        nanolamberts([17.0, 19.5, 22.0]) * 3.1831e-6, luminance_cd_m2([17.0, 19.5, 22.0]), rtol=0.01
    )


def test_moonlight_is_that_of_a_worked_value() -> None:
    # 20 deg from the zenith, the Moon 70 deg from it and 50 deg away, phase angle 45, extinction 0.15, no other light:
    # 19.855 mag per square arcsecond, as a spectrograph's documentation works out the same equations (from memory).
    assert_allclose(mag_per_arcsec2(moonlight_nl(45.0, 50.0, 70.0, 20.0, 0.15)), 19.855, atol=0.001)


def test_a_full_moon_brightens_a_dark_sky_by_three_to_four_magnitudes() -> None:
    # Well known: a sky of 21.5 reads about 18 (17.5 to 18.5) with a full Moon high up, well away from it.
    sky = nanolamberts(21.5)
    lit = mag_per_arcsec2(sky + moonlight_nl(0.0, [40.0, 60.0, 90.0], 45.0, 30.0))
    assert np.all((lit > 17.4) & (lit < 18.7))


@pytest.mark.parametrize(("sky_mag", "limit"), [(20.0, 6.228), (20.5, 6.4197), (21.5, 6.794), (22.0, 7.007)])
def test_stars_of_the_laboratory_eye_are_those_of_crumeys_lines(sky_mag: float, limit: float) -> None:
    # Crumey 2014: m = 0.3834 mu - 1.4400 from 20 to 21, 0.4260 mu - 2.3650 from 21 to 22 (coefficients from memory).
    found = -2.5 * np.log10(least_star_lux(luminance_cd_m2(sky_mag)) / ZERO_MAG_LUX)
    assert_allclose(found, limit, atol=0.015)


def test_the_naked_eye_reaches_six_to_six_and_a_half_in_the_country_and_five_in_a_town() -> None:
    # Schaefer's relation of naked-eye limit and sky (PASP 102 (1990) 212): 18, 20, 21.5, 22: 3.97, 5.49, 6.38, 6.62; a
    # usual observer's factor of 2 lies within a magnitude of it and, in the dark, within half of one.
    assert_allclose(faintest_star_mag([21.5, 22.0], naked_eye()), [6.384, 6.625], atol=0.5)
    assert_allclose(faintest_star_mag([18.0, 20.0], naked_eye()), [3.968, 5.494], atol=1.0)


@pytest.mark.parametrize("aperture_mm", [80.0, 150.0, 250.0])
def test_a_tube_shows_stars_to_within_a_magnitude_of_the_rule_of_thumb(aperture_mm: float) -> None:
    # 2 + 5 log10 of the aperture in millimetres, common practice.
    assert_allclose(faintest_star_mag(21.5, tube(aperture_mm)), 2 + 5 * np.log10(aperture_mm), atol=1.0)


def test_m_33_is_for_the_naked_eye_only_where_it_is_very_dark() -> None:
    # Well known: the mark of a class 1 to 3 sky. V 5.7, 71' by 42' (Third Reference Catalogue, from memory).
    surface, area = even_ellipse(5.7, 71.0, 42.0)
    margin = glow_margin_mag(surface + 0.25, area, [20.0, 21.0, 22.0], naked_eye())
    assert margin[2] > 0
    assert margin[1] < 0
    assert margin[0] < KEEN_MAG - 0.4


def test_the_fornax_dwarf_is_hardly_seen_in_150_mm_and_ngc_253_in_60() -> None:
    # Fornax dwarf: V 7.4, half of its light within 17' of the middle (McConnachie 2012), an ellipse of 0.7.
    fornax, fornax_area = even_ellipse(7.4 + 0.75, 34.0, 24.0)
    assert glow_margin_mag(fornax + 0.25, fornax_area, 21.5, tube(150.0)) < 0
    # NGC 253, 7.2, 27' by 6', is a showpiece of binoculars from the country.
    sculptor, sculptor_area = even_ellipse(7.2, 27.0, 6.0)
    assert glow_margin_mag(sculptor + 0.25, sculptor_area, 21.5, tube(60.0)) > 0.5


def test_the_horsehead_is_beyond_100_mm_without_a_filter() -> None:
    # The notch, 5' wide, shows by the glow IC 434 around it, about 23.5 mag per square arcsecond (from memory).
    assert glow_margin_mag(23.5 + 0.25, np.pi / 4 * 25, 21.5, tube(100.0)) < 0


def test_the_middle_of_the_orion_nebula_is_easy_in_a_city() -> None:
    # Its bright middle, 5' wide, has about 17 mag per square arcsecond (from memory); a city's sky 18.
    assert glow_margin_mag(17.0 + 0.25, np.pi / 4 * 25, 18.0, tube(100.0)) > 1.0


def test_a_full_moon_drowns_the_wide_and_leaves_the_small_and_bright() -> None:
    # Well known: M 33 and M 101 are not to be seen under a full Moon, the Ring Nebula is.
    wide, wide_area = even_ellipse(7.9, 28.8, 26.9)
    ring, ring_area = even_ellipse(8.8, 1.4, 1.0)
    assert glow_margin_mag(wide + 0.25, wide_area, 18.0, tube(200.0)) < -1
    assert glow_margin_mag(ring + 0.25, ring_area, 18.0, tube(200.0)) > 1
