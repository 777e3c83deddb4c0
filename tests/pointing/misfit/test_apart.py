"""What set-ups tell one by one adds up to what they tell together."""

import numpy as np
from numpy.testing import assert_allclose

from obslog.pointing.joint_fit.arrivals import Priors
from obslog.pointing.joint_fit.fit import fit_pointing
from obslog.pointing.misfit.apart import OwnFits, SetupInformation, neighbours_differ
from obslog.pointing.misfit.columns import columns_of
from obslog.pointing.misfit.findings import SAID_FROM
from obslog.pointing.misfit.look import scatter
from tests.pointing.misfit.disturbed_clubs import GERMAN, SETUPS, in_turn, quiet

ONE_ERA = np.zeros(SETUPS, dtype=np.int64)
PRIOR_SD = Priors().by_unknown()[-3:]


def apart_of(seed: int) -> SetupInformation:
    arrivals = quiet(seed).club.arrivals
    columns = columns_of(GERMAN, arrivals, in_turn())
    return OwnFits.of(GERMAN, arrivals, SETUPS, columns).apart(ONE_ERA).about([])


def test_the_sum_over_all_set_ups_is_the_joint_fit() -> None:
    """Not to the last figure: each set-up's wrong arrivals are weighed where it stands itself."""
    for seed in range(10):
        apart = apart_of(seed)
        covariance = np.linalg.inv(apart.information.sum(axis=0) + np.diag(PRIOR_SD**-2.0))
        summed = covariance @ apart.told.sum(axis=0)
        joint = fit_pointing(GERMAN, quiet(seed).club.arrivals, ONE_ERA).mechanical[0]
        for value, variance, estimate in zip(
            summed, np.diag(covariance), (joint.cone, joint.squareness, joint.sag), strict=True
        ):
            assert abs(value - estimate.value) < estimate.sd
            assert_allclose(np.sqrt(variance), estimate.sd, rtol=0.35)


def test_neighbours_that_differ_by_chance_alone_differ_by_three_degrees_of_freedom() -> None:
    """By hand: the square of three independent normal deviates has a mean of 3 and a variance of 6."""
    rng = np.random.default_rng(5)
    roots = rng.normal(0.0, 1.0, (6, 3, 3))
    information = roots @ roots.transpose(0, 2, 1) + 0.1 * np.eye(3)
    draws = rng.standard_normal((4000, 6, 3))
    told = np.einsum("kij,dkj->dki", np.linalg.cholesky(information), draws)
    squares = neighbours_differ(SetupInformation(information, told))
    assert_allclose(squares.mean(axis=0), 3.0, rtol=0.06)
    assert_allclose(squares.var(axis=0), 6.0, rtol=0.15)


def test_the_value_that_all_share_makes_no_difference() -> None:
    apart = apart_of(1)
    shared = np.array([40.0, -20.0, 5.0])
    moved = SetupInformation(apart.information, apart.told + apart.information @ shared)
    assert_allclose(neighbours_differ(moved), neighbours_differ(apart), rtol=1e-5, atol=1e-6)


def test_a_set_up_that_is_silenced_tells_nothing() -> None:
    apart = apart_of(2)
    silenced = apart.silenced([3])
    assert not silenced.information[3].any()
    assert not silenced.told[3].any()
    assert_allclose(silenced.told[4], apart.told[4])


def with_empty_ones_between(apart: SetupInformation) -> SetupInformation:
    """The same set-ups, and before each one that was told in words alone."""
    between = np.zeros_like(apart.information), np.zeros_like(apart.told)
    return SetupInformation(
        np.stack([between[0], apart.information], axis=1).reshape(-1, *apart.information.shape[1:]),
        np.stack([between[1], apart.told], axis=1).reshape(-1, apart.told.shape[1]),
    )


def differing(squares: list[float]) -> SetupInformation:
    """Set-ups that each know all three terms to 1', of which neighbours differ by these squares: cones in turn."""
    cones = np.cumsum([0.0, *np.sqrt(2.0 * np.array(squares)) * (-1.0) ** np.arange(len(squares))])
    values = np.column_stack([cones, np.zeros((cones.size, 2))])
    return SetupInformation(np.tile(np.eye(3), (cones.size, 1, 1)), values)


def test_of_few_pairs_all_are_heard_and_their_mean_is_three() -> None:
    """By hand: of three all, (27 + 8) / (3 + 8); of four the lesser three, whose mean is 1.864 by chance alone."""
    assert_allclose(neighbours_differ(differing([27.0, 3.0])), [27.0, 3.0], rtol=1e-6)
    assert_allclose(scatter(differing([27.0] * 3), np.zeros(4, np.int64)), np.sqrt(35 / 11), rtol=1e-6)
    four = np.sqrt((3 * 27.0 / 1.864 + 8) / (3 + 8))
    assert_allclose(scatter(differing([27.0] * 3 + [99.0]), np.zeros(5, np.int64)), four, rtol=1e-4)


def test_of_four_set_ups_with_nothing_amiss_next_to_none_are_said_to_differ() -> None:
    """1.44 is reached where the squares of three pairs add up to 23.5: by chi-square of nine once in 200; pairs that
    share a set-up make it a little more. With the mean of the lesser three quarters it was one in nine."""
    rng = np.random.default_rng(3)
    alike = np.tile(np.eye(3), (4, 1, 1))
    scales = [
        scatter(SetupInformation(alike, rng.normal(0.0, 1.0, (4, 3))), np.zeros(4, np.int64))
        for _ in range(500)
    ]
    assert sum(scale >= SAID_FROM for scale in scales) <= 12


def test_set_ups_that_tell_nothing_do_not_count_as_neighbours_that_agree() -> None:
    """Set-ups that scatter by three times what they say; nights told in words between them say nothing of it."""
    values = np.random.default_rng(8).normal(0.0, 3.0, (20, 3))
    alone = SetupInformation(np.tile(np.eye(3), (20, 1, 1)), values)
    among = with_empty_ones_between(alone)
    assert among.telling().tolist() == list(range(1, 40, 2))
    widened_by = scatter(alone, np.zeros(20, np.int64))
    assert widened_by > 2.0
    assert scatter(among, np.zeros(40, np.int64)) == widened_by
