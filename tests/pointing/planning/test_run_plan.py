"""The pointing run: what it promises is what a fit of such a run delivers."""

import numpy as np
import pytest

from obslog.pointing.joint_fit.arrivals import Arrivals, Machine
from obslog.pointing.joint_fit.fit import fit_pointing
from obslog.pointing.model.frames import separation_deg
from obslog.pointing.planning.observable import Candidates, Limits
from obslog.pointing.planning.run_plan import FEWEST_CHECKS, MOST_CHECKS, Pace, plan_run, settling_pair
from obslog.pointing.planning.star_choice import TooFewStars
from obslog.vocabulary.mounts import MountType
from tests.pointing.joint_fit.pointing_clubs import offsets_after_one_sync_arcmin, random_stars, some_of

GERMAN = Machine(MountType.GERMAN)


@pytest.fixture(scope="module")
def sky():
    rng = np.random.default_rng(3)
    stars = random_stars(rng, 150, 52.0, MountType.GERMAN)
    magnitude = rng.uniform(0, 3, 150)
    return Candidates(
        stars=stars,
        magnitude=magnitude,
        hard_to_find=magnitude,
        moon_deg=np.full(150, 90.0),
        sun_deg=np.full(150, np.nan),
    )


def run_and_fit(sky, order, seed):
    rng = np.random.default_rng(seed)
    stars = some_of(sky.stars, np.array(order))
    truth = [*rng.normal(0, 25, 2), *rng.normal(0, 1, 3) * [10, 6, 2]]
    offsets = offsets_after_one_sync_arcmin(stars, some_of(stars, slice(1)), GERMAN, truth)
    offsets += rng.normal(0, 2.0, offsets.shape)
    offsets[:, 0] = np.nan
    count = len(order)
    arrivals = Arrivals(
        stars=stars,
        setup=np.zeros(count, dtype=int),
        is_sync=np.arange(count) == 0,
        offset_east_arcmin=offsets[0],
        offset_north_arcmin=offsets[1],
        centring_arcmin=np.full(count, 0.5),
    )
    return fit_pointing(GERMAN, arrivals, np.zeros(1, dtype=int)), truth


def test_the_run_delivers_what_it_promises(sky):
    plan = plan_run(sky, Limits(), GERMAN)
    assert plan.cone.determined
    runs = [run_and_fit(sky, plan.stars, seed) for seed in range(120)]
    errors = np.array([fit.mechanical[0].cone.value - truth[2] for fit, truth in runs])
    # 120 values: the scatter is known to 6.5%; three times that, and a tenth for the noise being estimated
    assert np.sqrt(np.mean(errors**2)) == pytest.approx(plan.cone.sd, rel=0.3)


def test_the_run_beats_random_runs_of_the_same_length(sky):
    plan = plan_run(sky, Limits(), GERMAN)
    rng = np.random.default_rng(2)
    usable = np.flatnonzero(sky.magnitude < 3.5)
    orders = [rng.choice(usable, len(plan.stars), replace=False) for _ in range(40)]
    assert np.mean([volume(sky, plan.stars) < volume(sky, order) for order in orders]) >= 0.95


def volume(sky, order):
    """Determinant of the mechanical covariance that a fit reports, were its noise the same in every run."""
    fit, _ = run_and_fit(sky, order, 1)
    return np.linalg.det(fit.mechanical[0].covariance / fit.noise_arcmin.value**2)


def test_length_time_and_flips(sky):
    plan = plan_run(sky, Limits(), GERMAN, Pace(minutes_per_star=2.0, slew_deg_per_s=1.0))
    assert FEWEST_CHECKS + 1 <= len(plan.stars) <= MOST_CHECKS + 1
    direction = sky.stars.airless()[:, list(plan.stars)]
    slews = separation_deg(direction[:, :-1], direction[:, 1:]).sum()
    assert plan.minutes == pytest.approx(2.0 * len(plan.stars) + slews / 60.0)
    assert np.count_nonzero(np.diff(np.array(plan.tube_west, dtype=int))) == 1


def test_too_few_stars_are_refused(sky):
    with pytest.raises(TooFewStars):
        plan_run(sky, Limits(lowest_alt_deg=80.0), GERMAN)


def test_the_settling_pair_is_the_best_pair_and_straddles_the_meridian(sky):
    # By hand: cone moves all stars of one pier side alike, as the sync's own zero does; only the other side tells.
    prior = np.diag([20.0, 10.0, 3.0]) ** 2
    sync = int(np.flatnonzero(sky.magnitude < 3.0)[0])
    pair = settling_pair(sky, Limits(), GERMAN, prior, "cone", sync)
    assert 0.0 < pair.sd_arcmin < 10.0
    sides = sky.stars.tube_west[[sync, *pair.stars]]
    assert len(set(sides.tolist())) == 2
    with pytest.raises(TooFewStars):
        settling_pair(sky, Limits(lowest_alt_deg=84.0), GERMAN, prior, "cone", sync)


def test_the_settling_pair_keeps_its_promise(sky):
    prior = np.diag([20.0, 10.0, 3.0]) ** 2
    sync = int(np.flatnonzero(sky.magnitude < 3.0)[0])
    pair = settling_pair(sky, Limits(), GERMAN, prior, "cone", sync)
    # the fit states the same sd when its noise is the assumed one; three arrivals lean on the typical noise
    stated = [run_and_fit(sky, [sync, *pair.stars], seed)[0] for seed in range(20)]
    ratios = [fit.mechanical[0].cone.sd / fit.noise_arcmin.value * 2.0 / pair.sd_arcmin for fit in stated]
    # degrees of freedom 8: the mean noise variance is 8 / 6 of the most probable one
    assert np.median(ratios) == pytest.approx(np.sqrt(8 / 6), rel=0.15)
