"""Moonlight in the air: by hand, and how it must change with phase, distance and height."""

import numpy as np
from numpy.testing import assert_allclose

from obslog.sky.contrast.moonlight import (
    air_path,
    dark_sky_nl,
    mag_per_arcsec2,
    moonlight_nl,
    nanolamberts,
)

FAR_DEG = np.array([5.0, 15.0, 30.0, 45.0, 60.0, 75.0, 90.0])


def test_a_full_moon_at_the_zenith_by_hand() -> None:
    # Looking 90 deg away, at the horizon: the path is 5 there and 1 to the Moon. Scattered: 10^5.36 x 1.06 by
    # molecules, 10^3.9 by haze; the light 10^-1.536; air 10^-0.1 on the way in, 1 - 10^-0.5 on the way out.
    expected = (229087 * 1.06 + 7943) * 0.029107 * 0.794328 * (1 - 0.316228)
    assert_allclose(moonlight_nl(0.0, 90.0, 0.0, 90.0, 0.25), expected, rtol=1e-4)


def test_the_air_is_looked_through_once_overhead_and_five_times_at_the_horizon() -> None:
    assert_allclose(air_path([0.0, 90.0]), [1.0, 5.0])
    assert_allclose(air_path(60.0), 1 / np.sqrt(1 - 0.96 * 0.75))


def test_it_grows_with_the_phase_and_is_all_but_gone_at_new_moon() -> None:
    light = moonlight_nl(np.array([0.0, 45.0, 90.0, 135.0, 180.0]), 60.0, 40.0, 30.0)
    assert np.all(np.diff(light) < 0)
    assert light[-1] < light[0] / 1000
    assert_allclose(moonlight_nl(-45.0, 60.0, 40.0, 30.0), light[1])  # waning as waxing


def test_it_falls_away_from_the_moon_and_rises_again_behind() -> None:
    light = moonlight_nl(0.0, FAR_DEG, 40.0, 30.0)
    assert np.all(np.diff(light) < 0)
    assert moonlight_nl(0.0, 150.0, 40.0, 30.0) > moonlight_nl(0.0, 100.0, 40.0, 30.0)
    assert np.isfinite(moonlight_nl(0.0, 0.0, 40.0, 40.0))


def test_there_is_none_while_the_moon_is_down() -> None:
    assert_allclose(moonlight_nl(0.0, 60.0, [89.9, 90.0, 120.0], 30.0)[1:], 0.0)
    assert moonlight_nl(0.0, 60.0, 89.9, 30.0) > 0
    assert np.isnan(moonlight_nl(np.nan, 60.0, 120.0, 30.0))


def test_one_place_is_as_one_of_many() -> None:
    many = moonlight_nl(20.0, FAR_DEG, 50.0, 35.0)
    assert_allclose([float(moonlight_nl(20.0, apart, 50.0, 35.0)) for apart in FAR_DEG], many)


def test_the_dark_sky_is_the_reading_overhead_and_brighter_below() -> None:
    assert_allclose(dark_sky_nl(21.0, 0.0), nanolamberts(21.0))
    # At 60 deg the path is 1 / sqrt(0.28) = 1.8898; 2.5 log10 of it is 0.691, less 0.25 x 0.8898 = 0.222.
    assert_allclose(mag_per_arcsec2(dark_sky_nl(21.0, 60.0)), 21.0 - 0.691 + 0.222, atol=0.002)


def test_magnitudes_and_nanolamberts_are_inverse_and_unknown_stays_unknown() -> None:
    assert_allclose(mag_per_arcsec2(nanolamberts([17.0, 22.0])), [17.0, 22.0])
    assert np.isnan(nanolamberts(np.nan))
    assert np.isnan(mag_per_arcsec2([0.0, np.nan])).all()
