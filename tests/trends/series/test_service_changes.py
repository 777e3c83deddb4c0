"""Before and after a service: coverage, the chance that it helped, and what is refused."""

import os

import numpy as np
from numpy.random import default_rng
from numpy.testing import assert_allclose
from scipy.stats import t, ttest_ind

from obslog.trends.series.service_changes import change_between, service_changes
from tests.known import known
from tests.trends.series.trend_simulations import histories, service_coverage

SIMULATED = 5000 if os.environ.get("OBSLOG_SLOW") else 500


def test_change_by_hand() -> None:
    # Welch (1947), worked by hand: means 2 and 4, variances 1 and 4, three and three set-ups; variance of the change
    # 5/3; degrees of freedom (5/3)^2 / ((1/3)^2/2 + (4/3)^2/2) = 50/17.
    found = change_between([3.0, 4.0, 5.0], [0.0, 2.0, 4.0])
    assert found is not None
    sd, freedom = np.sqrt(5 / 3), 50 / 17
    ends = np.exp(-2 + np.array([-1, 1]) * t.ppf(0.975, freedom) * sd)
    assert_allclose(found.log.value, -2)
    assert_allclose(found.log.sd, sd)
    assert_allclose([known(found.factor.low), known(found.factor.high)], ends)
    assert_allclose(found.helped, t.cdf(2 / sd, freedom))
    assert (found.before, found.after, found.log.count) == (3, 3, 6)
    assert not found.log.determined


def test_change_is_that_of_scipy() -> None:
    rng = default_rng(3)
    before, after = rng.normal(size=9), rng.normal(scale=3, size=5)
    found, theirs = change_between(before, after), ttest_ind(after, before, equal_var=False)
    assert found is not None
    ends = theirs.confidence_interval(0.95)
    assert_allclose(
        [known(found.factor.low), known(found.factor.high)], np.exp([ends.low, ends.high]), rtol=1e-9
    )
    assert_allclose(2 * min(found.helped, 1 - found.helped), theirs.pvalue, rtol=1e-9)


def test_a_service_that_helped_is_believed_and_one_that_did_nothing_is_not() -> None:
    rng = default_rng(1)
    before, after = histories(rng, np.full(10, np.log(12)), 6, 0.2, 1)[0], np.full(10, np.log(6))
    helped = change_between(before, histories(rng, after, 6, 0.2, 1)[0])
    assert helped is not None
    assert helped.helped > 0.99
    assert helped.factor.high is not None
    assert helped.factor.high < 1
    steady = histories(rng, np.full(16, 2.0), 6, 0.2, SIMULATED)
    nothing = [change_between(row[:8], row[8:]) for row in steady]
    # The chance of having helped is then anything from 0 to 1, equally likely.
    chances = [one.helped for one in nothing if one is not None]
    assert_allclose(np.quantile(chances, [0.1, 0.5, 0.9]), [0.1, 0.5, 0.9], atol=0.07)


def test_intervals_cover_the_truth() -> None:
    assert_allclose(service_coverage(default_rng(2), SIMULATED), 0.95, atol=0.02)


def test_each_service_is_compared_with_the_time_between_its_neighbours() -> None:
    values = [5.0, 5.1, np.nan, 3.0, 3.1, 3.2, 9.0]
    first, second = service_changes(values, [3, 6])
    assert first is not None
    assert (first.before, first.after) == (2, 3)
    assert second is None
    assert service_changes(values, []) == []


def test_too_few_or_equal_values_give_nothing() -> None:
    assert change_between([1.0], [2.0, 3.0]) is None
    assert change_between([1.0, np.nan], [2.0, 3.0]) is None
    assert change_between([1.0, 1.0], [2.0, 2.0]) is None
