"""Expected landings as a set-up stands: by hand, and against nights of a known truth."""

from dataclasses import replace

import numpy as np
import pytest

from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.model.geometry import some_stars
from obslog.pointing.planning.observable import even_sky
from obslog.pointing.tonight.landing_now import KnownNow, known_now, landing_now, next_sync
from obslog.pointing.tonight.mount_record import nothing_known
from obslog.pointing.tonight.setup_fit import fit_setup
from obslog.vocabulary.mounts import Controller, MountType
from tests.pointing.joint_fit.pointing_clubs import offsets_after_one_sync_arcmin, random_stars, simulate

GERMAN = Machine(MountType.GERMAN, corrects_refraction=True)
SKY = even_sky(52.0, 25.0)


def knowing(
    mean: list[float], sd_arcmin: float, noise_arcmin: float, centring_arcmin: float = 0.0
) -> KnownNow:
    covariance = np.eye(5) * max(sd_arcmin, 1e-9) ** 2
    return KnownNow(
        machine=GERMAN, polar_mean=np.array(mean[:2]), polar_sd=np.sqrt(np.diagonal(covariance))[:2],
        mechanical_mean=np.array(mean[2:]), mechanical_covariance=covariance[2:, 2:], noise_arcmin=noise_arcmin,
        centring_arcmin=centring_arcmin, joint_covariance=covariance,
    )  # fmt: skip


def test_a_perfect_mount_lands_by_its_scatter_alone():
    star = random_stars(np.random.default_rng(3), 1, 52.0, MountType.GERMAN)
    landing = landing_now(knowing([0, 0, 0, 0, 0], 0.0, 2.0), star, SKY)
    # two axes of 2': half inside 2 sqrt(2 ln 2), 95 % inside 2 sqrt(2 ln 20)
    assert landing.half_arcmin == pytest.approx(2 * np.sqrt(2 * np.log(2)), rel=0.02)
    assert landing.ninety_five_percent_arcmin == pytest.approx(2 * np.sqrt(2 * np.log(20)), rel=0.02)


def test_landings_of_a_known_axis_are_those_of_its_truth():
    truth = [25.0, -40.0, 6.0, -3.0, 1.0]
    for seed in range(5):
        star = random_stars(np.random.default_rng(seed), 1, 52.0, MountType.GERMAN)
        offsets = offsets_after_one_sync_arcmin(SKY, star, GERMAN, truth)
        away = np.hypot(*offsets)
        landing = landing_now(knowing(truth, 0.0, 0.05), star, SKY)
        # terms of the second order: 1' where the axis is a degree off, and more for a sync star near the pole
        assert landing.half_arcmin == pytest.approx(np.median(away), rel=0.03, abs=1.0)
        assert landing.ninety_five_percent_arcmin == pytest.approx(np.quantile(away, 0.95), rel=0.03, abs=1.0)


def test_the_landing_after_the_next_sync_is_the_smallest_of_all_candidates():
    rng = np.random.default_rng(4)
    stars = random_stars(rng, 40, 52.0, MountType.GERMAN)
    known = knowing([30.0, -20.0, 4.0, 2.0, 1.0], 5.0, 2.0, 0.5)
    first = some_stars(stars, np.array([0]))
    found = next_sync(known, first, stars, np.arange(1, 40), np.zeros(40), SKY)
    assert found is not None
    alone = [landing_now(known, some_stars(stars, np.array([k])), SKY).half_arcmin for k in range(1, 40)]
    # a controller of zero points hears the last sync only; the choice is by the mean square, not by the median
    assert alone[found.star - 1] == pytest.approx(found.after.half_arcmin)
    assert found.after.half_arcmin <= 1.15 * min(alone)


def test_of_stars_that_are_alike_the_easiest_to_find_is_taken():
    one = random_stars(np.random.default_rng(6), 1, 52.0, MountType.GERMAN)
    twins = some_stars(one, np.array([0, 0, 0]))
    known = knowing([30.0, -20.0, 4.0, 2.0, 1.0], 5.0, 2.0, 0.5)
    found = next_sync(known, one, twins, np.arange(3), np.array([2.0, 0.5, 1.0]), SKY)
    assert found is not None
    assert found.star == 1
    assert next_sync(known, one, twins, np.arange(0), np.zeros(3), SKY) is None


def test_a_controller_with_a_model_gains_from_a_second_sync_far_from_the_first():
    machine = replace(GERMAN, controller=Controller.MODEL)
    club = simulate(np.random.default_rng(7), machine, setups=1, checks=3, polar_sd_arcmin=40.0)
    known = known_now(machine, fit_setup(machine, club.arrivals, nothing_known()))
    stars = random_stars(np.random.default_rng(8), 40, 52.0, MountType.GERMAN)
    first = some_stars(club.arrivals.stars, np.array([0]))
    found = next_sync(known, first, stars, np.arange(40), np.zeros(40), SKY)
    assert found is not None
    assert found.after.half_arcmin < 0.5 * landing_now(known, first, SKY).half_arcmin
