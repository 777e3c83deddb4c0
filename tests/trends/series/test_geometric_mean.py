"""Geometric means against scipy."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy import stats

from obslog.trends.series.geometric_mean import geometric_mean
from tests.known import known


@given(st.lists(st.floats(0.1, 100), min_size=2, max_size=30))
def test_the_mean_and_its_interval_are_those_of_students_t(values: list[float]) -> None:
    """scipy.stats.gmean for the mean; for the interval scipy.stats.t.interval on the logarithms."""
    found = geometric_mean(np.log(values))
    logs = np.log(values)
    low, high = stats.t.interval(0.95, len(values) - 1, logs.mean(), stats.sem(logs) + 1e-300)
    assert found is not None
    assert_allclose(found.value, stats.gmean(values), rtol=1e-9)
    assert_allclose((known(found.low), known(found.high)), np.exp([low, high]), rtol=1e-6)


def test_what_is_not_known_is_left_out_and_nothing_gives_none() -> None:
    assert geometric_mean([np.nan, -np.inf]) is None
    single = geometric_mean([np.log(5), np.nan])
    assert single is not None
    assert (round(single.value, 9), single.low, single.high) == (5, None, None)


def test_values_that_agree_by_chance_tell_no_more_than_each_is_known_to() -> None:
    """Two radii of 30' with a mean variance of 0.5 squared; Student's t of one degree of freedom is 12.706 (tables)."""
    found = geometric_mean(np.log([30.0, 30.0]), [0.3, np.sqrt(0.41)])  # the mean of 0.09 and 0.41 is 0.25
    assert found is not None
    assert_allclose(found.value, 30.0)
    assert_allclose(np.log(known(found.high) / 30.0), 12.7062 * 0.5 / np.sqrt(2), rtol=1e-4)
    assert_allclose(known(found.low) * known(found.high), 30.0**2)


def test_values_that_differ_by_more_than_they_are_known_to_have_the_interval_of_their_scatter() -> None:
    logs = np.log([20.0, 30.0, 45.0])
    assert geometric_mean(logs, [0.1, 0.2, 0.3]) == geometric_mean(logs)


def test_intervals_hold_the_truth_as_often_as_they_say() -> None:
    rng = np.random.default_rng(7)
    held = 0
    for _ in range(1000):
        found = geometric_mean(rng.normal(np.log(12), 0.6, 10))
        assert found is not None
        held += known(found.low) < 12 < known(found.high)
    assert 930 <= held <= 970
