"""What an earlier joint fit says of the next set-up."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.joint_fit.fit import fit_pointing
from obslog.pointing.tonight.mount_record import _habit_sd, nothing_known, record_of
from obslog.values import Estimate
from obslog.vocabulary.mounts import MountType
from tests.pointing.joint_fit.pointing_clubs import simulate

GERMAN = Machine(MountType.GERMAN)


def test_the_record_is_of_the_last_era_and_of_the_usual_axis():
    club = simulate(np.random.default_rng(1), GERMAN, setups=16, eras=2, polar_sd_arcmin=35.0)
    fit = fit_pointing(GERMAN, club.arrivals, np.arange(16) // 8)
    record = record_of(fit, 8, serviced_since=False)
    sds = np.sqrt(np.diagonal(record.mechanical_covariance))
    assert np.all(np.abs(record.mechanical_mean - club.mechanical[1]) < 4 * sds)
    true_rms = np.sqrt(np.mean(club.polar**2, axis=0))
    assert_allclose(record.polar_sd, true_rms, rtol=0.15)
    assert record.setups == 8


def test_a_service_since_makes_the_mechanics_unknown_and_leaves_the_habit_of_the_axis():
    club = simulate(np.random.default_rng(1), GERMAN, setups=8)
    fit = fit_pointing(GERMAN, club.arrivals, np.zeros(8, dtype=int))
    fresh, known = (record_of(fit, 8, serviced_since=since) for since in (True, False))
    assert_allclose(fresh.mechanical_covariance, nothing_known().mechanical_covariance)
    assert_allclose(fresh.mechanical_mean, 0.0)
    assert_allclose(fresh.polar_sd, known.polar_sd)
    assert fresh.setups == 0


def test_two_set_ups_are_no_habit_and_a_steady_axis_is_not_relied_upon():
    few = simulate(np.random.default_rng(2), GERMAN, setups=2)
    fit = fit_pointing(GERMAN, few.arrivals, np.zeros(2, dtype=int))
    assert_allclose(record_of(fit, 2, serviced_since=False).polar_sd, 60.0)
    steady = simulate(np.random.default_rng(2), GERMAN, setups=8, polar_sd_arcmin=0.5)
    fit = fit_pointing(GERMAN, steady.arrivals, np.zeros(8, dtype=int))
    assert_allclose(record_of(fit, 8, serviced_since=False).polar_sd, 20.0)


def test_without_its_record_a_mount_keeps_its_scatter():
    club = simulate(np.random.default_rng(3), GERMAN, setups=8, noise_arcmin=4.0)
    record = record_of(fit_pointing(GERMAN, club.arrivals, np.zeros(8, dtype=int)), 8, serviced_since=False)
    assert record.with_usual_mechanics().noise_arcmin == record.noise_arcmin
    assert_allclose(record.with_usual_mechanics().mechanical_mean, 0.0)


def standing(fit, altitudes, azimuths):
    """The fit with its set-ups' axes where they are wanted, arcminutes."""
    those = [
        replace(
            one,
            polar_altitude=Estimate(altitude, 1.0, 8, True),
            polar_azimuth=Estimate(azimuth, 1.0, 8, True),
        )
        for one, altitude, azimuth in zip(fit.setups, altitudes, azimuths, strict=True)
    ]
    return replace(fit, setups=tuple(those))


def test_set_ups_that_happen_to_agree_are_no_sure_habit():
    """By hand: with two more of 20', (2 x 0.0133 + 2 x 400) / (2 + 2) = 200, so 14.1'; 40' of scatter stays 40'. By
    Student's t of four the next one is sqrt(4/3 x 4/2) times as far from the mean of three: 23.1' and 65.3'.
    """
    club = simulate(np.random.default_rng(2), GERMAN, setups=3)
    fit = standing(
        fit_pointing(GERMAN, club.arrivals, np.zeros(3, dtype=int)), [10.0, 10.0, 10.2], [-30.0, 10.0, 50.0]
    )
    record = record_of(fit, 3, serviced_since=False)
    assert_allclose(record.habit_mean, [10.0667, 10.0], atol=1e-3)
    assert_allclose(record.habit_sd, [23.094, 65.320], atol=2e-3)


def test_a_habit_grows_surer_with_every_set_up_that_keeps_to_it():
    """Eight that stand alike: sqrt(2 x 400 / (7 + 2)) = 9.43', and one more sqrt(9/8 x 9/7) times as far."""
    club = simulate(np.random.default_rng(2), GERMAN, setups=8)
    fit = standing(fit_pointing(GERMAN, club.arrivals, np.zeros(8, dtype=int)), [5.0] * 8, [-3.0] * 8)
    assert_allclose(record_of(fit, 8, serviced_since=False).habit_sd, 9.428 * 1.2027, atol=2e-3)


@pytest.mark.parametrize("setups", [3, 5, 12])
def test_the_next_axis_stands_as_far_from_the_mean_of_those_before_as_is_said(setups):
    """Axes that scatter by 30': of 1000 mounts the rms of (next - mean) / sd is 1, within three standard errors of
    heavy tails. The scatter of those before alone gave 1.55 with three of them, 1.36 with five."""
    rng = np.random.default_rng(setups)
    stood = rng.normal(10.0, 30.0, (1000, setups, 2))
    away = rng.normal(10.0, 30.0, (1000, 2)) - stood.mean(axis=1)
    score = away / np.array([_habit_sd(one) for one in stood])
    assert 0.88 < np.sqrt(np.mean(score**2)) < 1.08
    assert np.mean(np.abs(score) < 1.96) > 0.93


def test_the_habit_is_where_the_axis_stood_and_how_it_scattered():
    steady = simulate(np.random.default_rng(2), GERMAN, setups=8, polar_sd_arcmin=0.5)
    arrivals = steady.arrivals
    record = record_of(fit_pointing(GERMAN, arrivals, np.zeros(8, dtype=int)), 8, serviced_since=False)
    assert record.habit_setups == 8
    assert_allclose(
        record.habit_sd, 11.34, atol=0.5
    )  # as eight that stand alike, and 0.5' of scatter beside 20'
    assert_allclose(record.habit_mean, 0.0, atol=5.0)
    assert record.with_usual_mechanics().habit_setups == 8
    few = simulate(np.random.default_rng(2), GERMAN, setups=2)
    record = record_of(fit_pointing(GERMAN, few.arrivals, np.zeros(2, dtype=int)), 2, serviced_since=False)
    assert_allclose([*record.habit_mean, *record.habit_sd], [0.0, 0.0, 60.0, 60.0])
