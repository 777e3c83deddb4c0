"""Arrivals far out: wrong ones among good ones, or one scatter with heavy tails."""

import numpy as np
import pytest

from obslog.pointing.budget.tails import chance_of_tails
from obslog.pointing.model.frames import FloatArray

COUNT, SD = 400, 2.0


def of(residuals: FloatArray) -> float:
    return chance_of_tails(residuals, np.full(residuals.shape[1], SD))


@pytest.mark.parametrize("seed", range(5))
def test_student_scatter_is_told_from_wrong_arrivals(seed: int) -> None:
    rng = np.random.default_rng(seed)
    student = rng.normal(0, SD, (2, COUNT)) * np.sqrt(3.0 / rng.chisquare(3.0, COUNT))
    assert of(student) > 0.95
    mixed = rng.normal(0, SD, (2, COUNT))
    mixed[:, :30] = rng.normal(0, 40.0, (2, 30))
    assert of(mixed) < 0.01


@pytest.mark.parametrize("seed", range(5))
def test_a_normal_scatter_without_any_far_out_decides_nothing_for_wrong_ones(seed: int) -> None:
    """Both stories have a normal scatter at their ends, so neither can win by much: e^3 is 20 to 1."""
    assert of(np.random.default_rng(seed).normal(0, SD, (2, 60))) > 0.02


def test_by_hand_of_two_arrivals() -> None:
    """Both exactly as predicted: two kinds gives 2 ln((1 - w) / s^2), tails -4 ln s, the best w is the least allowed.

    Tails is the likelier by 1 / (1 - w)^2, with w the least share on the list (0.003): 0.5015.
    """
    one = 1.0 / 0.997**2
    assert of(np.zeros((2, 2))) == pytest.approx(one / (one + 1.0), abs=1e-4)


def test_the_unit_is_the_expected_scatter_of_each_arrival() -> None:
    """Half of the arrivals scatter by 6' and half by 1': expected so, that is no tail; expected to be alike, it is."""
    sd = np.where(np.arange(COUNT) % 2, 1.0, 6.0)
    uneven = np.random.default_rng(1).normal(0, sd, (2, COUNT))
    assert of(uneven) > 0.95
    assert chance_of_tails(uneven, sd) < 0.7
