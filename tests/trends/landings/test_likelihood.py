"""The likelihood of landing scales: its score and information against differences, its top against known answers."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.trends.landings.likelihood import distances_of, falling_root, information, log_likelihood, score

NUMBER = np.array([0, 0, 0, 1, 1, 2], dtype=np.intp)
LOW = np.array([2.0, 3.0, 0.0, 5.0, 10.0, 150.0])
HIGH = np.array([2.0, 3.0, 4.0, 5.0, 20.0, np.inf])


def test_the_log_likelihood_is_that_of_exponential_squares_by_hand() -> None:
    """Rate 0.1: densities log 0.1 - 0.1 r^2; intervals the chance between; beyond 150' the chance of more."""
    found = log_likelihood(distances_of(NUMBER, LOW, HIGH, 3), np.full(3, np.log(0.1)))
    first = 2 * np.log(0.1) - 0.1 * (4 + 9) + np.log(1 - np.exp(-1.6))
    second = np.log(0.1) - 2.5 + np.log(np.exp(-10) - np.exp(-40))
    assert_allclose(found, [first, second, -0.1 * 150**2])


@pytest.mark.parametrize("log_rate", [-6.0, -3.0, -1.0])
def test_the_score_is_the_slope_of_the_log_likelihood_and_the_information_its_curvature(
    log_rate: float,
) -> None:
    data = distances_of(NUMBER, LOW, HIGH, 3)
    at, step = np.full(3, log_rate), 1e-3
    above, here, below = (log_likelihood(data, at + d) for d in (step, 0.0, -step))
    assert_allclose(score(data, at), (above - below) / (2 * step), rtol=1e-5)
    assert_allclose(information(data, at), -(above - 2 * here + below) / step**2, rtol=1e-4)


def test_the_top_of_exact_distances_is_their_number_by_the_sum_of_squares() -> None:
    exact = np.array([3.0, 4.0, 12.0])
    data = distances_of(np.array([0, 0, 1], dtype=np.intp), exact, exact, 2)
    top = falling_root(lambda rate: score(data, rate), *data.bracket)
    assert_allclose(np.exp(top), [2 / 25, 1 / 144], rtol=1e-9)


def test_the_top_of_one_interval_is_where_its_ends_are_as_likely() -> None:
    """Between squares a and b: rate ln(b / a) / (b - a)."""
    data = distances_of(np.array([0], dtype=np.intp), np.array([3.0]), np.array([6.0]), 1)
    top = falling_root(lambda rate: score(data, rate), *data.bracket)
    assert_allclose(np.exp(top), [np.log(4) / 27], rtol=1e-9)


def test_setups_without_a_distance_are_nothing_to_the_others() -> None:
    data = distances_of(np.array([2], dtype=np.intp), np.array([5.0]), np.array([5.0]), 4)
    assert_allclose(log_likelihood(data, np.zeros(4)), [0, 0, -25, 0])
    assert_allclose(score(data, np.zeros(4)), [0, 0, 1 - 25, 0])


def test_a_root_is_found_between_the_ends_and_without_one_the_end_beside_it() -> None:
    low, high = np.zeros(3), np.array([10.0, 1.0, 10.0])
    found = falling_root(lambda x: np.array([2.0, 5.0, -1.0]) - x, low, high)
    assert_allclose(found, [2.0, 1.0, 0.0], atol=1e-10)
