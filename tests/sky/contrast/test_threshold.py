"""The eye's threshold: what must hold of it between the smallest discs and the largest, the darkest sky and dusk."""

import numpy as np
from numpy.testing import assert_allclose

from obslog.sky.contrast.threshold import (
    BRIGHTEST_CD_M2,
    DARKEST_CD_M2,
    least_contrast,
    least_star_lux,
    luminance_cd_m2,
    seen_ground_cd_m2,
)

GROUNDS = np.geomspace(DARKEST_CD_M2, 5 * BRIGHTEST_CD_M2, 30)


def test_luminance_by_hand() -> None:
    # 10.8e4 x 10^(-0.4 x 20) and x 10^(-0.4 x 22.5)
    assert_allclose(luminance_cd_m2([20.0, 22.5]), [1.08e-3, 1.08e-4])


def test_a_small_disc_needs_the_light_of_a_star_and_a_large_one_a_fixed_contrast() -> None:
    small = np.array([1e-10, 1e-11])
    assert_allclose(least_contrast(3e-4, small) * small * 3e-4, least_star_lux(3e-4), rtol=1e-3)
    assert_allclose(least_contrast(3e-4, 1.0), least_contrast(3e-4, 10.0), rtol=1e-3)


def test_larger_discs_and_brighter_grounds_need_less_contrast() -> None:
    assert np.all(np.diff(least_contrast(1e-4, np.geomspace(1e-9, 1e-1, 40))) < 0)
    for area in (1e-8, 1e-5, 1e-2):
        assert np.all(np.diff(least_contrast(GROUNDS, area)) <= 0)


def test_the_brighter_the_ground_the_more_light_is_needed() -> None:
    assert np.all(np.diff(least_star_lux(GROUNDS)) > 0)
    for area in (1e-8, 1e-5, 1e-2):
        assert np.all(np.diff(least_contrast(GROUNDS, area) * GROUNDS) > 0)


def test_the_eye_has_a_darkness_of_its_own_and_the_fit_an_end() -> None:
    assert_allclose(least_star_lux([0.0, 1e-7]), least_star_lux(DARKEST_CD_M2))
    assert_allclose(seen_ground_cd_m2([0.0, 1e-3, 5.0]), [DARKEST_CD_M2, 1e-3, 5.0])
    assert_allclose(
        least_contrast(5.0, 1e-5), least_contrast(BRIGHTEST_CD_M2, 1e-5)
    )  # Weber: the contrast stays
    assert_allclose(least_star_lux(5.0) / least_star_lux(BRIGHTEST_CD_M2), 5.0 / BRIGHTEST_CD_M2)
    assert np.isnan(least_star_lux(np.nan))
    assert np.isnan(least_contrast(np.nan, 1e-5))
