"""Slopes and verdicts: against scipy, coverage, power and false verdicts over simulated histories."""

import os

import numpy as np
import pytest
from numpy.random import default_rng
from numpy.testing import assert_allclose
from scipy.stats import theilslopes

from obslog.trends.series.theil_sen import Slope, Verdict, theil_sen_slope, verdict_of
from obslog.values import Interval
from tests.known import known
from tests.trends.series.trend_simulations import slope_coverage, verdict_shares

SIMULATED = 5000 if os.environ.get("OBSLOG_SLOW") else 500


def test_slope_is_scipys() -> None:
    rng = default_rng(4)
    for count in (6, 7, 12, 30, 31):
        x, y = np.sort(rng.uniform(0, 3, count)), rng.normal(size=count)
        for times, values in ((x, y), (np.round(x, 1), y), (x, np.round(y, 1))):
            ours, theirs = theil_sen_slope(times, values), theilslopes(values, times)
            assert ours is not None
            ends = [theirs.slope, theirs.low_slope, theirs.high_slope]
            slope = ours.per_year
            assert_allclose([slope.value, known(slope.low), known(slope.high)], ends, rtol=1e-12)


@pytest.mark.parametrize(("nights", "has_an_interval"), [(3, False), (4, False), (5, True)])
def test_an_interval_of_95_percent_needs_five_nights(nights: int, has_an_interval: bool) -> None:
    """By hand: all pairs rise, or all fall, with a chance of 2 / n!: 1/3 and 1/12 of the intervals from the least slope
    to the greatest miss the truth with three nights and with four, 1/60 with five."""
    slope = theil_sen_slope(np.arange(nights), default_rng(1).normal(size=nights))
    assert slope is not None
    assert (slope.per_year.low is not None, slope.per_year.high is not None) == (has_an_interval,) * 2
    assert np.isfinite(slope.per_year.value)


def test_no_slope_from_too_few_points_or_a_single_night() -> None:
    assert theil_sen_slope([0, 1], [1, 2]) is None
    assert theil_sen_slope([1, 1, 1, 1], [1, 2, 3, 4]) is None
    assert theil_sen_slope([1, 1, 1, 2, 2, 2], [1, 2, 3, 4, 5, 6]) is None
    assert theil_sen_slope([1, 2, 3, 3], [1, 2, 3, 4]) is not None
    assert theil_sen_slope([0, 1, 2], [1, np.nan, 3]) is None
    assert verdict_of(None, 20) is Verdict.TOO_FEW


@pytest.mark.parametrize(
    ("low", "high", "p", "verdict"),
    [
        (0.1, 0.5, 0.01, Verdict.WORSENING), (-0.5, -0.1, 0.01, Verdict.IMPROVING),
        (-0.1, 0.5, 0.2, Verdict.STEADY), (0.01, 0.5, 0.06, Verdict.STEADY),
        # ln 30 is 3.401: from a year's factor of exp(-1.7) to exp(1.7), and a little more.
        (-1.7, 1.7, 0.9, Verdict.STEADY), (-1.701, 1.701, 0.9, Verdict.TOO_FEW), (0.1, 9.0, 0.01, Verdict.WORSENING),
    ],
)  # fmt: skip
def test_a_verdict_needs_the_interval_and_the_test(
    low: float, high: float, p: float, verdict: Verdict
) -> None:
    assert verdict_of(Slope(Interval((low + high) / 2, low, high, 12), p), 12) is verdict
    assert verdict_of(Slope(Interval((low + high) / 2, low, high, 5), p), 5) is Verdict.TOO_FEW


def test_the_slopes_interval_covers() -> None:
    assert_allclose(slope_coverage(default_rng(1), SIMULATED), 0.95, atol=0.02)


def test_a_doubling_in_two_years_is_found_in_nine_histories_of_ten() -> None:
    # Two years, one night a month, ten measured arrivals each, nights differing by 20 %.
    shares = verdict_shares(default_rng(2), np.sqrt(2), SIMULATED, arrivals=10)
    assert shares[Verdict.WORSENING] >= 0.9
    assert shares[Verdict.IMPROVING] == 0


@pytest.mark.parametrize(("nights", "scatter"), [(6, 0.2), (24, 0.2), (24, 0.5)])
def test_steady_mounts_are_seldom_called_worsening(nights: int, scatter: float) -> None:
    shares = verdict_shares(default_rng(nights), 1.0, SIMULATED, night_scatter=scatter, nights=nights)
    assert shares[Verdict.WORSENING] < 0.05
    assert shares[Verdict.IMPROVING] < 0.05
    assert (
        shares[Verdict.STEADY] + shares[Verdict.TOO_FEW] > 0.9
    )  # of five months most are not called anything
    assert (shares[Verdict.STEADY] > 0.9) is (nights == 24)
