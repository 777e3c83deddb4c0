"""The pointing run: what it promises is what a fit of such a run delivers."""

from dataclasses import replace

import numpy as np
import pytest

from obslog.pointing.model.frames import separation_deg
from obslog.pointing.planning.observable import ObservableLimits
from obslog.pointing.planning.run_plan import FEWEST_CHECKS, MOST_CHECKS, Pace, plan_run
from obslog.pointing.planning.star_choice import TooFewStars
from tests.pointing.planning.fitted_runs import GERMAN, run_and_fit


def test_the_run_delivers_what_it_promises(sky):
    plan = plan_run(sky, ObservableLimits(), GERMAN)
    assert plan.cone.determined
    runs = [run_and_fit(sky, plan.stars, seed) for seed in range(120)]
    errors = np.array([fit.mechanical[0].cone.value - truth[2] for fit, truth in runs])
    # 120 values: the scatter is known to 6.5%; three times that, and a tenth for the noise being estimated
    assert np.sqrt(np.mean(errors**2)) == pytest.approx(plan.cone.sd, rel=0.3)


def test_the_run_beats_random_runs_of_the_same_length(sky):
    plan = plan_run(sky, ObservableLimits(), GERMAN)
    rng = np.random.default_rng(2)
    usable = np.flatnonzero(sky.magnitude < 3.5)
    orders = [rng.choice(usable, len(plan.stars), replace=False) for _ in range(40)]
    assert np.mean([volume(sky, plan.stars) < volume(sky, order) for order in orders]) >= 0.95


def volume(sky, order):
    """Determinant of the mechanical covariance that a fit reports, were its noise the same in every run."""
    fit, _ = run_and_fit(sky, order, 1)
    return np.linalg.det(fit.mechanical[0].covariance / fit.noise_arcmin.value**2)


def test_length_time_and_flips(sky):
    plan = plan_run(sky, ObservableLimits(), GERMAN, Pace(minutes_per_star=2.0, slew_deg_per_s=1.0))
    assert FEWEST_CHECKS + 1 <= len(plan.stars) <= MOST_CHECKS + 1
    direction = sky.stars.airless()[:, list(plan.stars)]
    slews = separation_deg(direction[:, :-1], direction[:, 1:]).sum()
    assert plan.minutes == pytest.approx(2.0 * len(plan.stars) + slews / 60.0)
    assert np.count_nonzero(np.diff(np.array(plan.tube_west, dtype=int))) == 1


def test_in_twilight_the_sync_is_in_sight_and_the_checks_are_bright(sky):
    """20 are one and a half times the 13 stars of the longest run, and six can always be begun with."""
    light = plan_run(replace(sky, shown_mag=1.5), ObservableLimits(), GERMAN)
    assert (sky.magnitude[list(light.stars)] <= 1.5).all()
    lightest = plan_run(replace(sky, shown_mag=-2.0), ObservableLimits(), GERMAN)
    magnitude, in_order = sky.magnitude[list(lightest.stars)], np.sort(sky.magnitude)
    assert magnitude[0] <= in_order[5]
    assert (magnitude <= in_order[19]).all()
    assert (sky.magnitude[list(plan_run(sky, ObservableLimits(), GERMAN).stars)] > in_order[19]).any()


def test_too_few_stars_are_refused(sky):
    with pytest.raises(TooFewStars):
        plan_run(sky, ObservableLimits(lowest_alt_deg=80.0), GERMAN)
