"""The two checks that settle an error: no other pair tells more, and a fit of them knows it as well as promised."""

import numpy as np
import pytest

from obslog.pointing.planning.observable import ObservableLimits
from obslog.pointing.planning.settling_pair import settling_pair
from obslog.pointing.planning.star_choice import TooFewStars
from tests.pointing.planning.fitted_runs import GERMAN, run_and_fit


def test_the_settling_pair_is_the_best_pair_and_straddles_the_meridian(sky):
    # By hand: cone moves all stars of one pier side alike, as the sync's own zero does; only the other side tells.
    prior = np.diag([20.0, 10.0, 3.0]) ** 2
    sync = int(np.flatnonzero(sky.magnitude < 3.0)[0])
    pair = settling_pair(sky, ObservableLimits(), GERMAN, prior, "cone", sync)
    assert 0.0 < pair.sd_arcmin < 10.0
    sides = sky.stars.tube_west[[sync, *pair.stars]]
    assert len(set(sides.tolist())) == 2
    with pytest.raises(TooFewStars):
        settling_pair(sky, ObservableLimits(lowest_alt_deg=84.0), GERMAN, prior, "cone", sync)


def test_the_settling_pair_keeps_its_promise(sky):
    prior = np.diag([20.0, 10.0, 3.0]) ** 2
    sync = int(np.flatnonzero(sky.magnitude < 3.0)[0])
    pair = settling_pair(sky, ObservableLimits(), GERMAN, prior, "cone", sync)
    # the fit states the same sd when its noise is the assumed one; three arrivals lean on the typical noise
    stated = [run_and_fit(sky, [sync, *pair.stars], seed)[0] for seed in range(20)]
    ratios = [fit.mechanical[0].cone.sd / fit.noise_arcmin.value * 2.0 / pair.sd_arcmin for fit in stated]
    # degrees of freedom 8: the mean noise variance is 8 / 6 of the most probable one
    assert np.median(ratios) == pytest.approx(np.sqrt(8 / 6), rel=0.15)
