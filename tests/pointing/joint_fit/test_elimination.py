"""Block elimination against the same least squares solved as one dense system by numpy."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.pointing.joint_fit.elimination import Products, Tree, Unknowns, row_variance, solve


@pytest.fixture
def problem():
    rng = np.random.default_rng(11)
    setup_of_pair = np.repeat(np.arange(5), [1, 3, 2, 1, 2])
    pair_of_row = np.repeat(np.arange(9), rng.integers(1, 6, 9))
    tree = Tree.of(pair_of_row, setup_of_pair, np.array([0, 0, 2, 1, 2]), 3)
    n = pair_of_row.size
    now = Unknowns(rng.normal(size=(9, 2)), rng.normal(size=(5, 2)), rng.normal(size=(3, 3)))
    prior_sd = np.array([30.0, 20.0, 3.0, 4.0, 1.0, 2.0, 0.5])
    return tree, rng.normal(size=(2, n)), rng.normal(size=(2, 7, n)), prior_sd, now


def dense(tree, residuals, slopes, prior_sd, now):
    pairs, setups = tree.setup_of_pair.size, tree.era_of_setup.size
    total = 2 * pairs + 2 * setups + 3 * tree.eras
    rows = []
    for axis in range(2):
        for row, pair in enumerate(tree.pair_of_row):
            setup = tree.setup_of_pair[pair]
            first_polar, first_mechanical = (
                2 * pairs + 2 * setup,
                2 * (pairs + setups) + 3 * tree.era_of_setup[setup],
            )
            line = np.zeros(total)
            columns = [
                2 * pair,
                2 * pair + 1,
                first_polar,
                first_polar + 1,
                *(first_mechanical + np.arange(3)),
            ]
            line[columns] = slopes[axis, :, row]
            rows.append((line, residuals[axis, row]))
    matrix, right = np.array([r[0] for r in rows]), np.array([r[1] for r in rows])
    sd = np.concatenate(
        [np.tile(prior_sd[:2], pairs), np.tile(prior_sd[2:4], setups), np.tile(prior_sd[4:], tree.eras)]
    )
    values = np.concatenate([now.zero.ravel(), now.polar.ravel(), now.mechanical.ravel()])
    matrix = np.vstack([matrix, np.diag(1 / sd)])
    right = np.concatenate([right, -values / sd])
    solution = np.linalg.lstsq(matrix, right, rcond=None)[0]
    return solution, np.linalg.inv(matrix.T @ matrix), matrix


def test_step_and_covariance_equal_the_dense_solution(problem):
    tree = problem[0]
    residuals, slopes = problem[1:3]
    weight = np.random.default_rng(12).uniform(0.1, 3.0, residuals.shape[1])
    elimination = solve(tree, Products.of(residuals, slopes), weight, *problem[3:])
    solution, covariance, matrix = dense(
        tree, residuals * np.sqrt(weight), slopes * np.sqrt(weight), *problem[3:]
    )
    step = elimination.step
    assert_allclose(
        np.concatenate([step.zero.ravel(), step.polar.ravel(), step.mechanical.ravel()]), solution, rtol=1e-9
    )
    for pair, setup in enumerate(tree.setup_of_pair):
        era = tree.era_of_setup[setup]
        chosen = [2 * pair, 2 * pair + 1, 18 + 2 * setup, 19 + 2 * setup, *(28 + 3 * era + np.arange(3))]
        assert_allclose(
            elimination.pair_covariance(tree)[pair], covariance[np.ix_(chosen, chosen)], atol=1e-10
        )
    hat = np.einsum("ij,jk,ik->i", matrix, covariance, matrix)
    rows = tree.pair_of_row.size
    leverage = weight * row_variance(tree, elimination, slopes)
    assert_allclose(leverage, hat[:rows] + hat[rows : 2 * rows], atol=1e-10)
