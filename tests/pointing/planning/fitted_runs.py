"""Runs over stars of a sky as a mount with random errors would make them, fitted."""

import numpy as np

from obslog.pointing.joint_fit.arrivals import Arrivals, Machine
from obslog.pointing.joint_fit.fit import fit_pointing
from obslog.vocabulary.mounts import MountType
from tests.pointing.joint_fit.pointing_clubs import offsets_after_one_sync_arcmin, some_of

GERMAN = Machine(MountType.GERMAN)


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
