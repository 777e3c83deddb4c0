"""Where one step divides a series best: its place, the interval of the place, and its size."""

import numpy as np
import pytest
from numpy.random import default_rng
from numpy.testing import assert_allclose

from obslog.trends.series.change_point import single_step


def test_the_place_of_a_step_has_an_interval_that_covers() -> None:
    rng = default_rng(11)
    held = 0
    for _ in range(500):
        place = int(rng.integers(6, 19))
        step = single_step(rng.normal(size=25) + np.where(np.arange(25) >= place, 2.0, 0.0))
        assert step is not None
        held += step.earliest <= place <= step.latest
    assert held / 500 >= 0.93


def test_a_step_counts_positions_with_the_missing_values_in() -> None:
    step = single_step([0.0, 0.1, np.nan, 0.0, 5.0, 5.1, np.nan, 5.0])
    assert step is not None
    assert (step.first, step.change.count) == (4, 6)
    assert_allclose(step.change.value, 5.0, atol=0.1)
    assert single_step([1.0, 2.0, 3.0]) is None
    assert single_step(np.ones(9)) is None


def test_the_size_and_its_sd_are_those_of_two_means() -> None:
    """By hand: means 1 and 6, squares about them 2 + 2 on 6 - 2 degrees of freedom, so a scatter of 1."""
    step = single_step([0, 1, 2, 5, 6, 7])
    assert step is not None
    assert step.first == 3
    assert_allclose(step.change.value, 5.0)
    assert_allclose(step.change.sd, np.sqrt(1 / 3 + 1 / 3))
    assert step.change.determined


def test_a_step_down_is_less_than_nothing_and_a_small_one_is_not_determined() -> None:
    down = single_step([7, 6, 5, 2, 1, 0])
    assert down is not None
    assert_allclose(down.change.value, -5.0)
    small = single_step([0.0, 1.0, 0.0, 1.0, 0.0, 1.0, 0.0, 1.2])
    assert small is not None
    assert not small.change.determined


@pytest.mark.parametrize(("shift", "scale"), [(100.0, 1.0), (0.0, 1000.0), (-5.0, 0.01)])
def test_the_place_does_not_depend_on_zero_or_unit(shift: float, scale: float) -> None:
    values = default_rng(3).normal(size=20) + np.where(np.arange(20) >= 12, 1.5, 0.0)
    plain, other = single_step(values), single_step(shift + scale * values)
    assert plain is not None
    assert other is not None
    assert (plain.first, plain.earliest, plain.latest) == (other.first, other.earliest, other.latest)
    assert_allclose(other.change.value, scale * plain.change.value)


def test_surer_of_the_place_is_wider() -> None:
    values = default_rng(4).normal(size=30) + np.where(np.arange(30) >= 15, 1.0, 0.0)
    half, nearly_all = single_step(values, 0.5), single_step(values, 0.99)
    assert half is not None
    assert nearly_all is not None
    assert nearly_all.earliest <= half.earliest <= half.first <= half.latest <= nearly_all.latest
    assert nearly_all.latest - nearly_all.earliest > half.latest - half.earliest


def test_a_single_odd_value_at_the_end_is_a_step_of_its_own() -> None:
    step = single_step([1.0, 2.0, 1.0, 2.0, 1.0, 50.0])
    assert step is not None
    assert (step.first, step.latest) == (5, 5)
