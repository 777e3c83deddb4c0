"""The rank test against reference libraries on random data, with and without ties."""

import numpy as np
import pymannkendall
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.random import default_rng
from numpy.testing import assert_allclose
from scipy.stats import false_discovery_control, kendalltau, norm

from obslog.trends.series.rank_tests import adjusted_p, mann_kendall


@pytest.mark.parametrize("seed", range(20))
def test_agrees_with_pymannkendall_with_ties(seed: int) -> None:
    rng = default_rng(seed)
    values = rng.integers(0, 12, int(rng.integers(8, 60))).astype(float)
    ours, theirs = mann_kendall(values), pymannkendall.original_test(values)
    assert ours is not None
    assert ours.s == theirs.s
    assert_allclose([ours.variance, ours.z, ours.p], [theirs.var_s, theirs.z, theirs.p], rtol=1e-12)


@pytest.mark.parametrize("seed", range(10))
def test_agrees_with_pymannkendall_without_ties(seed: int) -> None:
    rng = default_rng(100 + seed)
    values = rng.normal(size=int(rng.integers(55, 90)))
    ours, theirs = mann_kendall(values), pymannkendall.original_test(values)
    assert ours is not None
    assert_allclose([ours.s, ours.variance, ours.z, ours.p], [theirs.s, theirs.var_s, theirs.z, theirs.p])


@pytest.mark.parametrize("seed", range(10))
def test_agrees_with_scipy_with_ties_in_time_too(seed: int) -> None:
    rng = default_rng(200 + seed)
    count = 40
    times, values = rng.integers(0, 15, count), rng.integers(0, 10, count)
    order = np.argsort(times, kind="stable")
    ours = mann_kendall(values[order], times[order])
    assert ours is not None
    # scipy's asymptotic p has no continuity correction: its deviate is S by the root of the same variance.
    theirs = kendalltau(times, values, method="asymptotic")
    assert_allclose(2 * norm.sf(abs(ours.s) / np.sqrt(ours.variance)), theirs.pvalue, rtol=1e-10)


@pytest.mark.parametrize("count", [3, 4, 7, 20, 50])
def test_exact_p_is_scipys(count: int) -> None:
    values = default_rng(count).normal(size=count)
    ours = mann_kendall(values)
    assert ours is not None
    assert_allclose(ours.p, kendalltau(np.arange(count), values, method="exact").pvalue, rtol=1e-12)


def test_missing_values_are_left_out_and_too_few_give_none() -> None:
    assert mann_kendall([1, np.nan, 3, 2, 5]) == mann_kendall([1, 3, 2, 5])
    assert mann_kendall([1, np.nan, 3]) is None


def test_equal_values_have_no_trend() -> None:
    test = mann_kendall([2.0] * 8)
    assert test is not None
    assert (test.s, test.z, test.p) == (0, 0.0, 1.0)


def test_adjusted_p_is_the_step_up_rule() -> None:
    # The definition, worked by hand: of four, p times 4 by rank, then the least from there on: .04, .04, .0533, .5.
    assert_allclose(adjusted_p([0.02, 0.01, np.nan, 0.5, 0.04]), [0.04, 0.04, np.nan, 0.5, 4 / 3 * 0.04])
    assert adjusted_p([]).size == 0


@pytest.mark.parametrize("seed", range(5))
def test_adjusted_p_is_scipys(seed: int) -> None:
    p = default_rng(seed).uniform(size=30) ** 3
    assert_allclose(adjusted_p(p), false_discovery_control(p), rtol=1e-12)


@given(values=st.lists(st.integers(-5, 5), min_size=3, max_size=30))
def test_turned_about_the_trend_is_the_opposite(values: list[int]) -> None:
    forward, backward = mann_kendall(values), mann_kendall(values[::-1])
    assert forward is not None
    assert backward is not None
    assert (forward.s, forward.variance, forward.z) == (-backward.s, backward.variance, -backward.z)
    assert_allclose(forward.p, backward.p, rtol=1e-12)
    assert 0 <= forward.p <= 1 + 1e-12
