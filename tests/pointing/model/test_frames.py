"""Frames against the ERFA reference library, published examples and each other."""

import erfa
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from obslog.pointing.model.frames import (
    az_alt_deg,
    equatorial_direction,
    horizontal_direction,
    hour_angle_dec_deg,
    offsets_arcmin,
    raised,
    separation_deg,
)


def test_published_horizontal_place_of_venus():
    # J. Meeus, Astronomical Algorithms, 2nd ed. 1998, example 13.b: Washington, 1987 April 10, 19:21 UT.
    # Azimuth is printed from the south.
    direction = equatorial_direction(64.352133, -(6 + 43 / 60 + 11.61 / 3600), 38 + 55 / 60 + 17 / 3600)
    az_deg, alt_deg = az_alt_deg(direction)
    assert_allclose([az_deg, alt_deg], [68.0337 + 180.0, 15.1249], atol=2e-4)


def test_horizontal_places_agree_with_the_reference_library():
    rng = np.random.default_rng(1)
    hour_angle_deg, dec_deg, lat_deg = (
        rng.uniform(-180, 180, 300),
        rng.uniform(-90, 90, 300),
        rng.uniform(-90, 90, 300),
    )
    az, alt = erfa.hd2ae(*np.radians([hour_angle_deg, dec_deg, lat_deg]))
    expected = horizontal_direction(np.degrees(az), np.degrees(alt))
    assert_allclose(equatorial_direction(hour_angle_deg, dec_deg, lat_deg), expected, atol=1e-13)


def test_offsets_are_the_reference_library_s_tangent_plane():
    rng = np.random.default_rng(2)
    lat_deg = rng.uniform(-60, 60, 200)
    hour_angle_deg, dec_deg = rng.uniform(-90, 90, 200), rng.uniform(-85, 85, 200)
    away_hour_deg, away_dec_deg = rng.uniform(-5, 5, 200), rng.uniform(-4, 4, 200)
    centre = equatorial_direction(hour_angle_deg, dec_deg, lat_deg)
    target = equatorial_direction(hour_angle_deg - away_hour_deg, dec_deg + away_dec_deg, lat_deg)
    xi, eta = erfa.tpxes(*np.radians([away_hour_deg, dec_deg + away_dec_deg, 0 * dec_deg, dec_deg]))[:2]
    east, north = offsets_arcmin(target, centre, lat_deg)
    assert_allclose(east, np.degrees(xi) * 60, atol=1e-8)
    assert_allclose(north, np.degrees(eta) * 60, atol=1e-8)


def test_offsets_of_a_target_behind_are_unknown():
    centre = equatorial_direction(np.array([0.0, 0.0]), np.array([0.0, 0.0]), 50.0)
    target = equatorial_direction(np.array([91.0, 1.0]), np.array([0.0, 0.0]), 50.0)
    east, _ = offsets_arcmin(target, centre, 50.0)
    assert np.isnan(east[0])
    assert np.isfinite(east[1])


@given(st.floats(-180, 180), st.floats(-89, 89), st.floats(-90, 90))
def test_equatorial_directions_can_be_read_back(hour_angle_deg, dec_deg, lat_deg):
    direction = equatorial_direction(hour_angle_deg, dec_deg, lat_deg)
    again = equatorial_direction(*hour_angle_dec_deg(direction, lat_deg), lat_deg)
    assert_allclose(again, direction, atol=1e-12)


@given(st.floats(0, 360), st.floats(0, 89.0), st.floats(0, 40))
def test_refraction_raises_along_the_vertical(az_deg, alt_deg, up_arcmin):
    seen_az, seen_alt = az_alt_deg(raised(horizontal_direction(az_deg, alt_deg), up_arcmin))
    assert_allclose(seen_alt, alt_deg + up_arcmin / 60, atol=1e-9)
    assert_allclose((seen_az - az_deg + 180) % 360, 180, atol=1e-8)


def test_published_separation_of_arcturus_and_spica():
    # Meeus, example 17.a: 32.7930 degrees; any latitude will do.
    arcturus = equatorial_direction(-213.9154, 19.1825, 10.0)
    spica = equatorial_direction(-201.2983, -11.1614, 10.0)
    assert separation_deg(arcturus, spica) == pytest.approx(32.7930, abs=1e-4)


def test_scalars_and_arrays_agree():
    scalar = offsets_arcmin(
        equatorial_direction(20.0, 30.0, 50.0), equatorial_direction(21.0, 30.5, 50.0), 50.0
    )
    array = offsets_arcmin(
        equatorial_direction(np.array([20.0]), 30.0, 50.0),
        equatorial_direction(np.array([21.0]), 30.5, 50.0),
        50.0,
    )
    assert_allclose(np.ravel(array), scalar, rtol=1e-13)
