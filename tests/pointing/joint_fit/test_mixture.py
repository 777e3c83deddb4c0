"""Good arrivals and wrong ones: densities, weights, doubts and information, each worked out in another way."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import approx_fprime
from scipy.stats import multivariate_normal

from obslog.pointing.joint_fit.elimination import Tree, Unknowns
from obslog.pointing.joint_fit.mixture import (
    LEAST_FREEDOM,
    Linearised,
    applied,
    heard_weight,
    information_slopes,
    log_densities,
    minus,
    probability_good,
    settle,
    settled,
    steady_step,
)
from obslog.pointing.joint_fit.rows import FitRows
from obslog.pointing.joint_fit.scatter import Scatter

WRONG_SD = 40.0  # judged, and stated in docs/pointing.md: another star lies anywhere within some 40'
PRIOR_SD = np.array([1e4, 1e4, 1e4, 1e4, 1e-6, 1e-6, 1e-6])  # the mechanical errors are known to be none


def rows_of(pairs, is_centring, centring_arcmin=0.5):
    """Rows of one set-up for each pair of zero points, in one era."""
    pair_of_row, is_centring = np.asarray(pairs), np.asarray(is_centring, bool)
    count = pair_of_row.max() + 1
    return FitRows(
        arrival=np.arange(pair_of_row.size),
        is_centring=is_centring,
        offsets_arcmin=np.zeros((2, pair_of_row.size)),
        fixed_sd_arcmin=np.where(is_centring, centring_arcmin, np.nan),
        setup_number=np.arange(count),
        tree=Tree.of(pair_of_row, np.arange(count), np.zeros(count, int), 1),
    )


def zero_only_slopes(count):
    """The two zero points shift every row by as much, east and north; nothing else acts."""
    slopes = np.zeros((2, 7, count))
    slopes[0, 0] = slopes[1, 1] = 1.0
    return slopes


def start(pairs):
    return Unknowns(np.zeros((pairs, 2)), np.zeros((pairs, 2)), np.zeros((1, 3)))


def linear(rows, residuals, slopes):
    """The model about unknowns that are all nought."""
    now = start(rows.tree.setup_of_pair.size)
    return Linearised(rows=rows, residuals=residuals, slopes=slopes, prior_sd=PRIOR_SD, now=now)


def scatter_of(count, noise_arcmin=2.0, wrong_share=0.05):
    return Scatter(
        era_noise_arcmin=np.array([noise_arcmin]),
        reading_share=0.0,
        wrong_share=wrong_share,
        freedom=np.ones(count),
        noise_arcmin=noise_arcmin,
    )


def densities(residuals, sd, wrong_share):
    """Of good and of wrong, by scipy's bivariate normal."""
    good = [multivariate_normal.pdf(r, [0, 0], s**2) for r, s in zip(residuals.T, sd, strict=True)]
    wrong = [multivariate_normal.pdf(r, [0, 0], WRONG_SD**2) for r in residuals.T]
    return (1 - wrong_share) * np.array(good), wrong_share * np.array(wrong)


@pytest.mark.parametrize("wrong_share", [0.02, 0.3])
def test_probabilities_and_densities_are_those_of_two_normal_distributions(wrong_share):
    residuals = np.array([[0.0, 3.0, -9.0, 60.0, 5.0], [0.0, -2.0, 4.0, 10.0, 5.0]])
    sd = np.array([2.0, 2.0, 3.0, 2.0, 1.5])
    good, wrong = densities(residuals, sd, wrong_share)
    assert_allclose(probability_good(residuals, sd, wrong_share), good / (good + wrong), rtol=1e-9)
    # up to a constant: the 2 pi of both
    assert_allclose(log_densities(residuals, sd, wrong_share), np.log(2 * np.pi * (good + wrong)), rtol=1e-9)


def test_what_is_far_beyond_all_is_surely_wrong_and_no_number_overflows():
    found = probability_good(np.array([[1e5], [0.0]]), np.array([1e-3]), 0.05)
    assert_allclose(found, 0.0, atol=1e-300)


def test_a_row_in_doubt_is_heard_with_the_mean_of_the_two_weights():
    # by hand: 1 / 2^2, 1 / 40^2, and a quarter of the first with three quarters of the second
    found = heard_weight(np.array([1.0, 0.0, 0.25]), np.array([2.0, 2.0, 2.0]))
    assert_allclose(found, [0.25, 0.000625, 0.0625 + 0.00046875])


def test_what_is_left_after_a_step_is_the_residual_less_what_the_step_explains():
    residuals = np.array([[5.0, 1.0], [-2.0, 4.0]])
    model = linear(rows_of([0, 0], [False, False]), residuals, zero_only_slopes(2))
    step = Unknowns(np.array([[3.0, -1.0]]), np.zeros((1, 2)), np.zeros((1, 3)))
    assert_allclose(model.left_after(step), [[2.0, -2.0], [-1.0, 5.0]])


def test_a_step_takes_each_zero_point_polar_and_mechanical_error_to_the_rows_they_act_on():
    rng = np.random.default_rng(1)
    tree = Tree.of(np.array([0, 0, 1, 2]), np.array([0, 0, 1]), np.array([0, 1]), 2)
    step = Unknowns(rng.normal(size=(3, 2)), rng.normal(size=(2, 2)), rng.normal(size=(2, 3)))
    slopes = rng.normal(size=(2, 7, 4))
    for row, (pair, setup, era) in enumerate([(0, 0, 0), (0, 0, 0), (1, 0, 0), (2, 1, 1)]):
        own = np.concatenate([step.zero[pair], step.polar[setup], step.mechanical[era]])
        assert_allclose(applied(tree, slopes, step)[:, row], slopes[:, :, row] @ own)


def test_a_difference_is_taken_of_every_unknown():
    one, other = (
        Unknowns(np.full((2, 2), v), np.full((1, 2), 2 * v), np.full((1, 3), 3 * v)) for v in (5.0, 2.0)
    )
    difference = minus(one, other)
    assert_allclose(difference.zero, 3.0)
    assert_allclose(difference.polar, 6.0)
    assert_allclose(difference.mechanical, 9.0)


@pytest.mark.parametrize(
    ("setups", "moving", "mechanical", "still"),
    [
        (999, 0, 0.1, True),
        (999, 1, 0.1, False),  # one in a thousand may move, and here there are fewer
        (1000, 1, 0.1, True),
        (2999, 2, 0.1, True),
        (2999, 3, 0.1, False),
        (1000, 0, 0.25, True),
        (1000, 0, 0.26, False),
    ],
)
def test_settled_is_when_all_but_one_set_up_in_a_thousand_stand_still(setups, moving, mechanical, still):
    polar = np.full((setups, 2), 0.25)  # no further than still
    polar[:moving, 1] = -0.3
    assert settled(Unknowns(np.full((5, 2), 9.0), polar, np.full((1, 3), -mechanical)), 0.25) is still


def test_information_is_the_curvature_of_the_likelihood():
    # Louis 1982, here by finite differences: minus the second derivative of the log density with respect to a shift.
    rows, scatter = rows_of([0] * 6, [False] * 6), scatter_of(6)
    for residual in ([0.5, -0.3], [3.0, 2.0], [6.0, 2.5], [60.0, 20.0]):  # the third is in doubt, 0.975 good
        left = np.tile(np.array(residual)[:, None], 6)
        scaled = information_slopes(rows, left, zero_only_slopes(6), scatter)[:, :2, 0]

        def slope_of(shift, residual=residual):
            def log_density(moved):
                good, wrong = densities((np.array(residual) - moved)[:, None], np.array([2.0]), 0.05)
                return np.log(good + wrong)[0]

            return approx_fprime(shift, log_density, 1e-5)

        curvature = np.array(
            [(slope_of(np.eye(2)[k] * 1e-3) - slope_of(-np.eye(2)[k] * 1e-3)) / 2e-3 for k in (0, 1)]
        )
        assert_allclose(scaled.T @ scaled, -curvature, atol=1e-4)


def test_information_that_would_be_negative_is_taken_as_none():
    # About half good and half wrong, 8' away: along the residual the likelihood curves the other way.
    rows, scatter = rows_of([0], [False]), scatter_of(1, wrong_share=0.05)
    away = next(
        r
        for r in np.arange(5, 12, 0.05)
        if probability_good(np.array([[r], [0.0]]), np.array([2.0]), 0.05)[0] < 0.5
    )
    scaled = information_slopes(rows, np.array([[away], [0.0]]), zero_only_slopes(1), scatter)[:, :2, 0]
    assert_allclose(scaled[:, 0], 0.0, atol=1e-9)  # along: nothing
    good = probability_good(np.array([[away], [0.0]]), np.array([2.0]), 0.05)[0]
    across = good / 4 + (1 - good) / 1600  # across: the mean of one over the variances
    assert_allclose((scaled.T @ scaled)[1, 1], across, rtol=1e-9)


def noisy(seed, count, noise=2.0):
    return np.random.default_rng(seed).normal(0, noise, (2, count))


def test_settling_gives_the_mean_without_the_wrong_one_and_finds_noise_and_share():
    # Forty arrivals on a ring about (12, -7), so that none is doubted, and one 90' away: the polar errors, which
    # shift every row alike here, are its middle.
    turn = np.arange(41) * 2 * np.pi / 40
    residuals = 2.8 * np.stack([np.cos(turn), np.sin(turn)]) + np.array([[12.0], [-7.0]])
    residuals[:, 40] += 90.0
    rows = replace(
        rows_of([0] * 41, [False] * 41), offsets_arcmin=residuals
    )  # all were predicted at the centre
    slopes = np.roll(zero_only_slopes(41), 2, axis=1)
    step, scatter = settle(linear(rows, residuals, slopes), scatter_of(41), most=30)
    assert_allclose(step.polar[0], residuals[:, :40].mean(axis=1), atol=0.02)
    spread = residuals[:, :40] - residuals[:, :40].mean(axis=1)[:, None]
    assert scatter.noise_arcmin == pytest.approx(np.sqrt((spread**2).sum() / 80), rel=0.03)
    # one in forty-one, with the prior worth half a wrong one in ten
    assert scatter.wrong_share == pytest.approx(1.5 / 51, rel=0.03)
    # each of forty rows has paid a fortieth; the one that is not heard has paid next to nothing
    assert_allclose(scatter.freedom[:40], 1 - 1 / 40, atol=2e-3)
    assert scatter.freedom[40] > 0.999


def test_a_row_that_pays_for_everything_keeps_a_little_freedom():
    rows = rows_of([0], [False])
    _, scatter = settle(linear(rows, np.array([[3.0], [1.0]]), zero_only_slopes(1)), scatter_of(1))
    assert scatter.freedom[0] == pytest.approx(LEAST_FREEDOM)


def test_a_steady_step_is_not_dragged_by_a_wrong_arrival():
    residuals = noisy(3, 21) + np.array([[30.0], [10.0]])
    residuals[:, 20] = 500.0
    rows = rows_of([0] * 21, [False] * 21)
    step, doubted = steady_step(linear(rows, residuals, zero_only_slopes(21)))
    assert_allclose(
        step.zero[0], residuals[:, :20].mean(axis=1), atol=1.0
    )  # where the mean of all is 22' farther
    assert not doubted.any()


@pytest.mark.parametrize(
    ("astray", "heard", "doubted"), [(3, 0, True), (2, 0, False), (2, 1, True), (2, 2, False), (3, 2, True)]
)
def test_a_sync_is_doubted_where_three_arrivals_or_more_and_most_of_them_disagree(astray, heard, doubted):
    """Nine pairs agree with their sync; in the tenth some arrivals lie 60' from where it says, and some do not."""
    pairs = np.repeat(np.arange(10), [*[6] * 9, 1 + astray + heard])
    is_centring = np.concatenate([[True], np.diff(pairs) > 0])
    residuals = noisy(4, pairs.size, 1.0)
    last = np.flatnonzero((pairs == 9) & ~is_centring)
    residuals[0, last[:astray]] += 60.0
    rows = rows_of(pairs, is_centring)
    step, found = steady_step(linear(rows, residuals, zero_only_slopes(pairs.size)))
    assert found[pairs == 9].all() == found[pairs == 9].any() == doubted
    assert not found[pairs < 9].any()
    if doubted and not heard:
        assert_allclose(step.zero[9], residuals[:, last].mean(axis=1), atol=1.0)
    if not doubted:
        assert_allclose(step.zero[9], residuals[:, np.flatnonzero(pairs == 9)[0]], atol=1.0)


def test_a_sync_that_is_no_longer_far_is_no_longer_doubted():
    pairs = np.repeat(np.arange(4), 6)
    is_centring = np.concatenate([[True], np.diff(pairs) > 0])
    rows, residuals = rows_of(pairs, is_centring), noisy(5, 24, 1.0)
    _, found = steady_step(linear(rows, residuals, zero_only_slopes(24)), doubted=pairs == 3)
    assert not found.any()
    residuals[0, (pairs == 3) & ~is_centring] += 60.0
    _, found = steady_step(linear(rows, residuals, zero_only_slopes(24)), doubted=pairs == 3)
    assert_allclose(found, pairs == 3)


def test_the_reading_share_widens_what_is_read_far_out():
    rows = replace(
        rows_of([0, 0], [False, True], centring_arcmin=0.7), offsets_arcmin=np.array([[30.0, 0], [40.0, 0]])
    )
    scatter = replace(scatter_of(2), reading_share=0.1)
    # by hand: 2' of noise and a tenth of the 50' predicted; the centring keeps its own
    assert_allclose(scatter.row_sd(rows, np.array([50.0, 50.0])), [np.sqrt(4 + 25), 0.7])
