"""Shares of the budget are the parts of the variance: SALib's indices (J. Herman, W. Usher, JOSS 2 (2017) 97).

A mount is set up and set to rights 128 times: polar axis, cone error and squareness are drawn anew, independently, each
time. A sync and seven go-tos visit the same stars in every set-up, so that the variance of a go-to is that of its
causes. SALib tells by the demo's exact model, of the same stars, what part of it each has: alone (first order) and with
all that it does together with others (total).
"""

import numpy as np
import pytest
from SALib.analyze import sobol
from SALib.sample import sobol as samples
from scipy.stats import norm, qmc

from obslog.pointing.budget.budget import budget
from obslog.pointing.budget.causes import BudgetCause
from obslog.pointing.joint_fit.arrivals import Arrivals, Machine
from obslog.pointing.misfit.circumstances import Circumstances
from obslog.pointing.misfit.examined import examine
from obslog.pointing.model.frames import FloatArray
from obslog.vocabulary.mounts import MountType
from tests.pointing.joint_fit.pointing_clubs import offsets_arcmin, random_stars, some_of

MACHINE = Machine(MountType.GERMAN, corrects_refraction=True)
SETUPS, STARS = 128, 8
SDS = np.array([18.0, 24.0, 14.0, 15.0])
CAUSES = BudgetCause.POLAR, BudgetCause.CONE, BudgetCause.SQUARENESS
PROBLEM = {
    "num_vars": 4,
    "names": ["altitude", "azimuth", "cone", "squareness"],
    "groups": ["polar", "polar", "cone", "squareness"],
    "bounds": [[0.0, sd] for sd in SDS.tolist()],
    "dists": ["norm"] * 4,
}


def arrived(errors: FloatArray) -> Arrivals:
    """Set-ups with these polar errors, cone and squareness (k, 4): exact, but for a hundredth of an arcminute."""
    setups = errors.shape[0]
    stars = some_of(
        random_stars(np.random.default_rng(7), STARS, 52.0, MountType.GERMAN),
        np.tile(np.arange(STARS), setups),
    )
    setup, is_sync = np.repeat(np.arange(setups), STARS), np.tile(np.arange(STARS) == 0, setups)
    each = np.repeat(errors, STARS, axis=0)
    mechanical = np.column_stack([each[:, 2:], np.zeros(setup.size)])
    offsets, _ = offsets_arcmin(
        stars, MACHINE, setup, is_sync, each[:, :2], mechanical, np.zeros((2, setup.size))
    )
    offsets += np.random.default_rng(8).normal(0, 0.01, offsets.shape)
    offsets[:, is_sync] = np.nan
    return Arrivals(
        stars=stars,
        setup=setup,
        is_sync=is_sync,
        offset_east_arcmin=offsets[0],
        offset_north_arcmin=offsets[1],
        centring_arcmin=np.full(setup.size, 0.01),
    )


def indices() -> tuple[FloatArray, FloatArray]:
    """First-order and total parts of the variance of all go-tos together, by SALib."""
    arrivals = arrived(samples.sample(PROBLEM, 256, calc_second_order=False, seed=9))
    offsets = np.stack([arrivals.offset_east_arcmin, arrivals.offset_north_arcmin])
    of_go_tos = offsets.reshape(2, -1, STARS)[:, :, 1:]
    first, total, whole = np.zeros(3), np.zeros(3), 0.0
    for axis in range(2):
        for star in range(STARS - 1):
            outcome = of_go_tos[axis, :, star]
            told = sobol.analyze(PROBLEM, outcome, calc_second_order=False, seed=9)
            variance = float(outcome.var())
            first, total = first + variance * told["S1"], total + variance * told["ST"]
            whole += variance
    return first / whole, total / whole


def test_shares_lie_at_salibs_first_order_and_total_indices() -> None:
    first, total = indices()
    # to first order nothing is done by two together, so the three make up the whole: the law of total variance
    assert first.sum() == pytest.approx(1.0, abs=0.02)
    assert total == pytest.approx(first, abs=0.02)

    drawn = norm.ppf(qmc.Sobol(4, seed=10).random(SETUPS)) * SDS
    arrivals = arrived(drawn)
    examined = examine(MACHINE, arrivals, np.arange(SETUPS), Circumstances.unknown(SETUPS))
    found = budget(MACHINE, arrivals, examined, np.full(SETUPS, True))
    shares = {part.named.cause: part.mean_square.value / found.mean_square for part in found.parts}
    ours = np.array([shares[cause] for cause in CAUSES])
    assert ours.min() > 0.1, "each has a part that could be missed"
    assert ours == pytest.approx(first, abs=0.03)
    assert ours == pytest.approx(total, abs=0.03)
