"""Drifts against published rules and rates, exact geometry and recovery."""

import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from obslog.pointing.model.drift import (
    Drifts,
    NoTimePassed,
    drift_arcmin,
    drift_meaning,
    field_rotation_deg,
    polar_axis,
    polar_errors_from_drifts,
)
from obslog.pointing.model.frames import az_alt_deg, equatorial_direction
from tests.pointing.joint_fit.pointing_clubs import drift_north_arcmin

# F. Barrett, "Measuring polar axis alignment error" (3rd ed. 2016). Northern hemisphere, star on the meridian:
# drifts south <=> axis too far east; star in the east: drifts south <=> axis too low. For altitude the rule is
# reversed in the west, and in the southern hemisphere.
RULES = [
    (0.0, 45.0, -1.0, "too far east"),
    (0.0, 45.0, 1.0, "too far west"),
    (-90.0, 45.0, -1.0, "too low"),
    (-90.0, 45.0, 1.0, "too high"),
    (90.0, 45.0, -1.0, "too high"),
    (-90.0, -35.0, -1.0, "too high"),
    (90.0, -35.0, -1.0, "too low"),
]


@pytest.mark.parametrize(("hour_angle_deg", "lat_deg", "drift", "meaning"), RULES)
def test_the_rules_of_thumb(hour_angle_deg, lat_deg, drift, meaning):
    assert drift_meaning(hour_angle_deg, lat_deg, drift, 0.5).endswith(f"points {meaning}")


@pytest.mark.parametrize("lat_deg", [48.0, -33.0])
@pytest.mark.parametrize(
    ("hour_angle_deg", "altitude", "azimuth", "meaning"),
    [
        (0.0, 0.0, 8.0, "too far east"),
        (0.0, 0.0, -8.0, "too far west"),
        (-90.0, 8.0, 0.0, "too high"),
        (-90.0, -8.0, 0.0, "too low"),
        (90.0, 8.0, 0.0, "too high"),
        (90.0, -8.0, 0.0, "too low"),
    ],
)
def test_words_and_exact_drift_agree(lat_deg, hour_angle_deg, altitude, azimuth, meaning):
    drift = float(drift_arcmin(hour_angle_deg, 5.0, 10.0, lat_deg, altitude, azimuth))
    assert drift_meaning(hour_angle_deg, lat_deg, drift, 0.01).endswith(f"points {meaning}")


@pytest.mark.parametrize("lat_deg", [48.0, -33.0])
@pytest.mark.parametrize("hour_angle_deg", [-60.0, -44.0, 30.0, 44.0, 60.0])
@pytest.mark.parametrize(
    ("altitude", "azimuth"), [(-30.0, 0.0), (30.0, 0.0), (0.0, 30.0), (0.0, -30.0), (9.0, 30.0)]
)
def test_between_the_meridian_and_the_east_or_west_the_true_error_is_one_of_those_told(
    lat_deg, hour_angle_deg, altitude, azimuth
):
    """With tan 26.6 deg = 1/2 the lesser of sine and cosine is over half the greater from 26.6 to 63.4 degrees."""
    drift = float(drift_arcmin(hour_angle_deg, 5.0, 10.0, lat_deg, altitude, azimuth))
    told = drift_meaning(hour_angle_deg, lat_deg, drift, 0.01)
    found = re.fullmatch("the polar axis points too (high|low) or too far (east|west), or both", told)
    assert found is not None
    height, side = found.groups()
    true_height, true_side = "high" if altitude > 0 else "low", "east" if azimuth > 0 else "west"
    assert (altitude != 0 and height == true_height) or (azimuth != 0 and side == true_side)


@pytest.mark.parametrize(
    ("hour_angle_deg", "both"), [(26.0, False), (27.0, True), (63.0, True), (64.0, False)]
)
def test_one_error_alone_is_told_where_the_other_would_have_to_be_twice_as_large(hour_angle_deg, both):
    assert drift_meaning(hour_angle_deg, 48.0, 2.0, 0.5).endswith("or both") is both


@pytest.mark.parametrize("drift", [0.0, 0.1, -0.4])
def test_a_drift_within_its_reading_tells_no_direction(drift):
    assert drift_meaning(0.0, 48.0, drift, 0.5) == "no drift beyond ±0.5': it shows no error"


def test_one_degree_drifts_at_the_rate_of_the_turning_sky():
    # By hand: the sky turns once in 1436.0682 minutes, the sidereal day, so that an axis 3600" off drifts by
    # 3600" x 2 pi / 1436.0682 = 15.751" a minute at the best hour angle (pages on the method print 15.7").
    east_star = drift_arcmin(-90.0, 0.0, 1.0, 45.0, 60.0, 0.0)
    assert float(east_star) * 60 == pytest.approx(3600 * 2 * np.pi / 1436.0682, rel=5e-4)


@pytest.mark.parametrize("dec_deg", [-40.0, 60.0])
def test_declination_of_the_star_does_not_matter(dec_deg):
    # To first order the rate is omega (e sin h + a cos h): no cos(dec) in it, unlike in the hour axis.
    at_equator = drift_arcmin(0.0, 0.0, 10.0, 52.0, 3.0, 5.0)
    assert_allclose(drift_arcmin(0.0, dec_deg, 10.0, 52.0, 3.0, 5.0), at_equator, rtol=5e-3)


@settings(max_examples=60, deadline=None)
@given(
    st.floats(-120, 120),
    st.floats(-120, 120),
    st.sampled_from([60.0, 35.0, -20.0, -45.0]),
)
def test_two_drifts_without_noise_give_the_errors_back(altitude, azimuth, lat_deg):
    hour_angle_deg, dec_deg, minutes = np.array([-5.0, -80.0]), np.array([3.0, 10.0]), np.array([20.0, 25.0])
    seen = drift_north_arcmin(hour_angle_deg, dec_deg, minutes, lat_deg, np.array([altitude, azimuth]))
    drifts = Drifts(
        hour_angle_deg=hour_angle_deg,
        dec_deg=dec_deg,
        minutes=minutes,
        drift_north_arcmin=seen,
        reading_arcmin=np.full(2, 1e-4),
    )
    answer = polar_errors_from_drifts(drifts, lat_deg, prior_sd_arcmin=1000.0)
    found = [answer.polar_altitude.value, answer.polar_azimuth.value]
    assert_allclose(found, [altitude, azimuth], atol=0.01)


def test_stated_uncertainty_is_the_scatter():
    rng = np.random.default_rng(21)
    hour_angle_deg, dec_deg, minutes = np.array([0.0, -75.0, 70.0]), np.zeros(3), np.full(3, 10.0)
    z = []
    for _ in range(300):
        truth = rng.normal(0, 30, 2)
        seen = drift_north_arcmin(hour_angle_deg, dec_deg, minutes, 50.0, truth) + rng.normal(0, 0.2, 3)
        answer = polar_errors_from_drifts(
            Drifts(
                hour_angle_deg=hour_angle_deg,
                dec_deg=dec_deg,
                minutes=minutes,
                drift_north_arcmin=seen,
                reading_arcmin=np.full(3, 0.2),
            ),
            50.0,
        )
        z.append((answer.polar_altitude.value - truth[0]) / answer.polar_altitude.sd)
        z.append((answer.polar_azimuth.value - truth[1]) / answer.polar_azimuth.sd)
    assert np.sqrt(np.mean(np.square(z))) == pytest.approx(1.0, abs=0.09)  # 600 values: 3 sd is 0.087


def test_one_star_on_the_meridian_says_nothing_of_altitude():
    drifts = Drifts(
        hour_angle_deg=np.array([0.0]),
        dec_deg=np.array([0.0]),
        minutes=np.array([10.0]),
        drift_north_arcmin=np.array([-1.0]),
        reading_arcmin=np.array([0.1]),
    )
    answer = polar_errors_from_drifts(drifts, 50.0)
    assert answer.polar_azimuth.determined
    assert answer.polar_azimuth.value > 0
    assert not answer.polar_altitude.determined


def test_no_time_is_refused():
    none = np.zeros(1)
    with pytest.raises(NoTimePassed):
        polar_errors_from_drifts(
            Drifts(
                hour_angle_deg=none,
                dec_deg=none,
                minutes=none,
                drift_north_arcmin=none,
                reading_arcmin=none + 0.1,
            ),
            50.0,
        )


def test_field_rotation_of_an_altazimuth_mount_is_the_textbook_rate():
    # W. M. Smart, Textbook on Spherical Astronomy: d(parallactic angle)/dt = -15.04 deg/h cos(lat) cos(az) /
    # cos(alt) with azimuth from north; checked at several places over one minute.
    hour_angle_deg, dec_deg = np.array([-60.0, -10.0, 30.0, 75.0]), np.array([10.0, 60.0, 0.0, 40.0])
    middle = equatorial_direction(hour_angle_deg + 0.125, dec_deg, 48.0)
    az, alt = np.radians(az_alt_deg(middle))
    rate = -15.041 / 60 * np.cos(np.radians(48.0)) * np.cos(az) / np.cos(alt)
    turned = field_rotation_deg(hour_angle_deg, dec_deg, 1.0, 48.0, np.array([0.0, 0.0, 1.0]))
    assert_allclose(turned, rate, rtol=2e-3)


def test_field_rotation_trail_of_a_misaligned_axis():
    # R. N. Hook, Journal of the British Astronomical Association 99 (1989) 19, as restated on the APML mailing
    # list on 26 November 2003 with E in degrees and 750 for 45000 (the article itself was not at hand):
    # E[arcmin] = 45000 S cos D / (T F A), with the trail S in um, T in minutes, F in mm, A degrees from the guide
    # star. By hand: S = E A F 2 pi T / (1436.0682 cos D) in radians and one unit of length gives 45018.6.
    error, minutes, focal_mm, away_deg, dec_deg = 5.0, 1.0, 1000.0, 1.0, 60.0
    axis = polar_axis(50.0, error, 0.0)
    turned = [field_rotation_deg(h, dec_deg, minutes, 50.0, axis) for h in np.arange(-180.0, 180.0, 1.0)]
    trail_um = np.radians(np.abs(turned).max()) * focal_mm * 1000 * np.radians(away_deg)
    assert 45000 * trail_um * np.cos(np.radians(dec_deg)) / (minutes * focal_mm * away_deg) == pytest.approx(
        error, rel=5e-3
    )


def test_a_true_axis_does_not_turn_the_field():
    assert_allclose(field_rotation_deg(20.0, 40.0, 60.0, 50.0, polar_axis(50.0, 0.0, 0.0)), 0.0, atol=1e-9)
