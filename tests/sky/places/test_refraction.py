"""Refraction undoes itself, keeps order and stays finite."""

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from obslog.sky.places.refraction import (
    Air,
    airless_alt_deg,
    refracted_alt_deg,
    refraction_deg,
    usual_air,
)

STANDARD = Air(1010.0)


def test_taking_the_air_away_and_putting_it_back() -> None:
    seen_deg = np.linspace(-10, 90, 1001)
    again = refracted_alt_deg(airless_alt_deg(seen_deg, STANDARD), STANDARD)
    assert_allclose(again, seen_deg, rtol=0, atol=1e-4)


def test_higher_stars_stay_higher() -> None:
    seen = refracted_alt_deg(np.linspace(-8, 90, 2000), STANDARD)
    assert np.all(np.diff(seen) > 0)


@pytest.mark.parametrize("air", [STANDARD, usual_air(4200), Air(1040.0, -30.0), Air(0.0)])
def test_no_altitude_jumps_near_the_horizon(air: Air) -> None:
    airless = np.arange(-6, 6, 0.001)
    assert np.all(np.abs(np.diff(refracted_alt_deg(airless, air)) - 0.001) < 0.0006)
    assert np.all(np.abs(np.diff(refraction_deg(airless, air))) < 0.0006)


def test_nothing_changes_without_air_or_far_below_the_horizon() -> None:
    assert_array_equal(refracted_alt_deg([10.0, 45.0], Air(0.0)), [10.0, 45.0])
    assert_array_equal(refracted_alt_deg([-5.0, -90.0], STANDARD), [-5.0, -90.0])


def test_nan_stays_nan_beside_numbers() -> None:
    seen = refracted_alt_deg([np.nan, 10.0], STANDARD)
    assert_array_equal(np.isnan(seen), [True, False])
    assert_array_equal(np.isnan(refraction_deg([np.nan, 10.0], STANDARD)), [True, False])


def test_pressure_falls_with_height() -> None:
    # 1010 hPa at sea level by choice; about 750 hPa at 2400 m in the standard atmosphere (from memory).
    assert_allclose(usual_air(0).pressure_hpa, 1010.0)
    assert_allclose(usual_air(2400).pressure_hpa, 750, rtol=0.05)
