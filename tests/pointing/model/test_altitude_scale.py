"""The altitude scale's setting: worked by hand, against the practice of the trade, and where nothing should be said."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.pointing.model.altitude_scale import mean_altitude_error, scale_setting, sideways_from_tilt_arcmin

NINE = np.array([40.0, 44.0, 46.0, 47.0, 48.0, 49.0, 50.0, 52.0, 56.0])


def test_nine_nights_worked_by_hand() -> None:
    # Mean 432 / 9 = 48' = 0.8 deg; squares about it 64+16+4+1+0+1+4+16+64 = 170; scatter sqrt(170 / 8) = 4.6098';
    # sd of the mean 4.6098 / 3 = 1.5366'. An axis 0.8 deg too high is brought down: 52.2 - 0.8 = 51.4.
    setting = scale_setting(52.2, NINE)
    assert setting is not None
    assert_allclose(setting.setting_deg, 51.4, rtol=1e-12)
    assert_allclose(setting.reads_low_arcmin.value, 48.0, rtol=1e-12)
    assert_allclose(setting.reads_low_arcmin.sd, 1.5366, atol=5e-5)
    assert_allclose(setting.scatter_arcmin, 4.6098, atol=5e-5)
    assert setting.reads_low_arcmin.count == 9


def test_south_of_the_equator_too_high_is_brought_down_as_well() -> None:
    setting = scale_setting(-32.4, -NINE)
    assert setting is not None
    assert_allclose(setting.setting_deg, 33.2, rtol=1e-12)


@pytest.mark.parametrize(
    "errors",
    [
        NINE[:4],  # too few
        NINE / 9,  # too small to be read on a scale
        [-60.0, 150.0, 10.0, -40.0, 140.0, 90.0],  # a mean inside the scatter of single nights
        [],
        [np.nan] * 9,
    ],
    ids=["few", "small", "scattered", "none", "unknown"],
)
def test_without_grounds_the_latitude_stands(errors: list[float]) -> None:
    assert scale_setting(52.2, errors) is None


def test_five_nights_that_agree_no_better_than_chance_are_no_grounds() -> None:
    """By hand: squares about the mean 4 x 100, scatter 10', sd of the mean 10' / sqrt 5 = 4.47'. A mean of 25' has
    t = 5.6, beyond 2.776, Student's t of four; one of 12.3', larger than the scatter too, has t = 2.75."""
    about = np.array([-10.0, -10.0, 0.0, 10.0, 10.0])
    assert scale_setting(52.2, 25.0 + about) is not None
    assert scale_setting(52.2, 12.3 + about) is None
    assert scale_setting(52.2, 12.5 + about) is not None  # t = 2.795


def test_a_scale_that_reads_right_is_seldom_set_anew() -> None:
    """Five nights that scatter by 60': t of four is beyond 2.776 in one case of twenty, by the definition of the level.

    Of 4000 mounts 5 % are 200, with a standard error of 14; two sd or the scatter allowed t = 2.24, 8.9 %.
    """
    nights = np.random.default_rng(4).normal(0.0, 60.0, (4000, 5))
    assert sum(scale_setting(52.2, one) is not None for one in nights) <= 200 + 3 * 14


def test_unknown_nights_are_left_out() -> None:
    one, _ = mean_altitude_error(NINE)
    other, _ = mean_altitude_error([*NINE, np.nan])
    assert one == other


def test_what_a_tilt_costs_is_what_the_trade_says() -> None:
    # 1 deg east or west at latitudes 35, 50, 60: 34', 46', 52' (practice of the trade, derived there).
    found = [float(sideways_from_tilt_arcmin(1.0, lat_deg)) for lat_deg in (35.0, 50.0, 60.0, -50.0)]
    assert_allclose(found, [34, 46, 52, 46], atol=0.5)


@pytest.mark.parametrize("lat_deg", [20.0, 52.2, 70.0])
def test_what_a_tilt_costs_against_an_exact_turn(lat_deg: float) -> None:
    # The pole, in north and up, turned by 0.5 deg about the north-south line: what leaves the meridian is sideways.
    tilt, lat = np.radians(0.5), np.radians(lat_deg)
    east = np.sin(lat) * np.sin(tilt)
    assert_allclose(sideways_from_tilt_arcmin(0.5, lat_deg), np.degrees(np.arcsin(east)) * 60, rtol=1e-4)
