"""Spherical trigonometry keeps its round trips and symmetries."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from obslog.sky.places.sphere import (
    equatorial,
    horizontal,
    position_angle_deg,
    separation_deg,
)

HOUR_ANGLES = st.floats(-12, 12)
LATITUDES = st.floats(-90, 90)


@given(HOUR_ANGLES, LATITUDES, LATITUDES)
def test_there_and_back_again(hour_angle_hours: float, dec_deg: float, lat_deg: float) -> None:
    h, d = equatorial(*horizontal(hour_angle_hours, dec_deg, lat_deg), lat_deg)
    assert_allclose(separation_deg(h * 15, d, hour_angle_hours * 15, dec_deg), 0, atol=1e-7)


@given(HOUR_ANGLES, st.floats(-89, 89), st.floats(-89, 89))
def test_east_and_west_mirror_each_other(hour_angle_hours: float, dec_deg: float, lat_deg: float) -> None:
    alt_west, az_west = horizontal(hour_angle_hours, dec_deg, lat_deg)
    alt_east, az_east = horizontal(-hour_angle_hours, dec_deg, lat_deg)
    assert_allclose(alt_west, alt_east, atol=1e-9)
    assert_allclose(np.cos(np.radians(az_west)), np.cos(np.radians(az_east)), atol=1e-9)


def test_position_angles_of_the_four_directions() -> None:
    angles = position_angle_deg(100.0, 0.0, [100.0, 101.0, 100.0, 99.0], [1.0, 0.0, -1.0, 0.0])
    assert_allclose(angles, [0, 90, 180, 270], atol=1e-9)


@given(st.floats(0, 360), LATITUDES, st.floats(0, 360), LATITUDES)
def test_separation_is_the_same_both_ways(lon_1: float, lat_1: float, lon_2: float, lat_2: float) -> None:
    apart = separation_deg(lon_1, lat_1, lon_2, lat_2)
    assert_allclose(apart, separation_deg(lon_2, lat_2, lon_1, lat_1), atol=1e-9)
    assert 0 <= apart <= 180


def test_tiny_separations_are_not_lost() -> None:
    assert_allclose(separation_deg(10.0, 60.0, 10.0, 60.0 + 1e-9), 1e-9, rtol=1e-4)


def test_arrays_broadcast_and_nan_stays_nan() -> None:
    alt, az = horizontal(np.array([[0.0], [np.nan]]), np.array([10.0, 20.0, 30.0]), 50.0)
    assert alt.shape == az.shape == (2, 3)
    assert np.isnan(alt[1]).all()
    assert np.isfinite(alt[0]).all()
