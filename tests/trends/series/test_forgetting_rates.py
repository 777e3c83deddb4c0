"""A rate forgets, borrows and says how sure it is; checked by hand-worked cases and by what theory says of it."""

from fractions import Fraction
from math import comb

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from obslog.trends.series.forgetting_rates import (
    BetaRate,
    faded_counts,
    fading_weight,
    learned_rate,
    rate_of_others,
)


def beta(wrong: float, well: float) -> BetaRate:
    return BetaRate(np.array([wrong]), np.array([well]))


def test_a_rate_worked_by_hand() -> None:
    # Others: 7.5 wrong and 82.5 well; with 0.5 and 9.5 before any record 8 and 92, a rate of 0.08, worth 4 nights:
    # Beta(0.32, 3.68). Own: 2 wrong and 4 well, all tonight: Beta(2.32, 7.68). Mean 2.32 / 10 = 0.232; variance
    # 2.32 x 7.68 / (100 x 11) = 17.8176 / 1100 = 0.016198, sd 0.12727.
    rate = learned_rate(
        rate_of_others([7.5], [82.5]), *faded_counts(np.zeros(6), np.eye(6)[:, :2].sum(1)[:, None])
    )
    assert_allclose(rate.wrong, [2.32], rtol=1e-12)
    assert_allclose(rate.well, [7.68], rtol=1e-12)
    assert_allclose(rate.mean, [0.232], rtol=1e-12)
    assert_allclose(rate.sd, [0.12727], atol=5e-6)


def test_with_nothing_supposed_it_is_the_rule_of_succession() -> None:
    # Laplace, Essai philosophique sur les probabilites, 1814: after s of n the next has the chance (s + 1) / (n + 2).
    rate = learned_rate(beta(1, 1), [3], [7])
    assert_allclose(rate.mean, [4 / 12], rtol=1e-14)


@pytest.mark.parametrize(
    ("wrong", "well", "tenths"), [(1, 1, 3), (2, 8, 1), (3, 20, 1), (5, 5, 5), (1, 30, 1)]
)
def test_the_chance_above_a_rate_is_a_sum_of_binomial_terms(wrong: int, well: int, tenths: int) -> None:
    # DLMF 8.17.5: I_x(m, n - m + 1) is the sum over j >= m of C(n, j) x^j (1 - x)^(n - j); summed in whole numbers.
    x, n = Fraction(tenths, 10), wrong + well - 1
    below = sum(comb(n, j) * x**j * (1 - x) ** (n - j) for j in range(wrong, n + 1))
    assert_allclose(beta(wrong, well).chance_above(tenths / 10), [float(1 - below)], rtol=1e-12)


def test_the_interval_of_a_clean_record_worked_by_hand() -> None:
    # Beta(1, n) has the distribution function 1 - (1 - x)^n: its quantile p is 1 - (1 - p)^(1/n).
    low, high = beta(1, 9).interval()
    assert_allclose(low, [1 - 0.975 ** (1 / 9)], rtol=1e-10)
    assert_allclose(high, [1 - 0.025 ** (1 / 9)], rtol=1e-10)


def test_it_forgets_by_a_factor_e_in_a_year() -> None:
    assert_allclose(fading_weight([0.0, 365.25, 730.5]), [1.0, 0.36787944, 0.13533528], rtol=1e-7)


def test_unknown_occasions_count_for_nothing() -> None:
    wrong, well = faded_counts([0.0, 0.0, np.nan], [[1.0, np.nan], [0.0, np.nan], [1.0, 1.0]])
    assert_allclose(wrong, [1.0, 0.0])
    assert_allclose(well, [1.0, 0.0])


def test_no_nights_at_all_give_the_others_rate() -> None:
    prior = rate_of_others([10.0], [30.0])
    rate = learned_rate(prior, *faded_counts(np.zeros(0), np.zeros((0, 1))))
    assert_allclose(rate.mean, prior.mean)
    assert_allclose(rate.mean, [10.5 / 50], rtol=1e-12)


@given(st.floats(0, 50), st.floats(0, 50), st.floats(0, 1))
def test_the_learned_rate_lies_between_the_others_and_ones_own(
    wrong: float, well: float, others: float
) -> None:
    prior = rate_of_others([100 * others], [100 * (1 - others)])
    rate = learned_rate(prior, [wrong], [well])
    if wrong + well > 0:
        own = wrong / (wrong + well)
        low, high = sorted([own, float(prior.mean[0])])
        assert low - 1e-12 <= rate.mean[0] <= high + 1e-12


@pytest.mark.parametrize("truth", [0.03, 0.15, 0.4])
def test_the_interval_holds_the_truth_as_often_as_it_says(truth: float) -> None:
    # Rates drawn about the others' rate with the spread that the borrowed nights say; then the interval is calibrated.
    rng = np.random.default_rng(5)
    prior = BetaRate(np.array([4 * truth]), np.array([4 * (1 - truth)]))
    rates = rng.beta(prior.wrong[0], prior.well[0], 4000)
    wrong = rng.binomial(10, rates)
    low, high = learned_rate(prior, wrong, 10 - wrong).interval()
    # 4000 trials: the share's sd is sqrt(0.95 x 0.05 / 4000) = 0.0034; four of them.
    assert_allclose(np.mean((low <= rates) & (rates <= high)), 0.95, atol=0.014)
