"""Two sides compared: against arithmetic by hand, a known factor, and how often more nights then tell it."""

from math import exp, log

import numpy as np
import pytest
from scipy import stats

from obslog.trends.attribution.two_sides import TwoSides, two_sides
from obslog.values import Interval


def compared(seed: int, before: int, after: int, factor: float, *, careless: float = 1.0) -> TwoSides:
    """Set-ups by four people in turn, who differ by e^0.3; the last of them, careless, has most of the later ones."""
    rng = np.random.default_rng(seed)
    second = np.arange(before + after) >= before
    who = rng.integers(4, size=second.size)
    who[second & (rng.random(second.size) < (0.6 if careless > 1 else 0.0))] = 3
    people = rng.normal(0, 0.3, 4) + np.array([0, 0, 0, log(careless)])
    sd = rng.uniform(0.15, 0.35, second.size)
    y = 2.5 + log(factor) * second + people[who] + rng.normal(0, 0.45, second.size) + rng.normal(0, sd)
    found = two_sides(y, sd, second, {"observer": [f"person {one}" for one in who]})
    assert found is not None
    return found


def holds(interval: Interval, value: float) -> bool:
    assert interval.low is not None
    assert interval.high is not None
    return interval.low <= value <= interval.high


def test_levels_and_ratio_by_hand() -> None:
    """Six set-ups equally well known: the means of the logarithms, log 4 = (2, 4, 8) and log 8 = (4, 8, 16)."""
    y = np.log([2.0, 4.0, 8.0, 4.0, 8.0, 16.0])
    found = two_sides(y, np.full(6, 0.2), np.arange(6) > 2, {})
    assert found is not None
    assert (found.first_arcmin.value, found.second_arcmin.value) == pytest.approx((4.0, 8.0))
    assert found.ratio.value == pytest.approx(2.0)
    # variance about the levels (2 + 2) log(2)^2 / 4, less that of counting, leaning on 0.5^2 worth three set-ups
    own = (log(2) ** 2 - 0.04) * 4 / 7 + 0.25 * 3 / 7
    reach = stats.t.ppf(0.975, 7) * np.sqrt((own + 0.04) * 2 / 3)
    assert found.ratio.high == pytest.approx(2.0 * exp(reach))


def test_an_end_beyond_all_that_was_ever_seen_is_not_given() -> None:
    """Two set-ups known to a factor of 400 either way: by hand 2.78 x 6 is well over log(1000)."""
    found = two_sides(np.log([2.0, 4.0, 8.0, 16.0]), np.full(4, 6.0), np.arange(4) > 1, {})
    assert found is not None
    assert (found.ratio.low, found.ratio.high, found.decided) == (None, None, False)
    assert found.ratio.value == pytest.approx(4.0)


@pytest.mark.parametrize(("before", "after"), [(6, 6), (20, 8)])
def test_the_interval_holds_the_factor(before: int, after: int) -> None:
    hits = [holds(compared(seed, before, after, 1.7).ratio, 1.7) for seed in range(300)]
    # 95 % within four standard errors of 1.3 %, and not wide without need
    assert 0.90 <= np.mean(hits) <= 0.99


def test_a_careless_newcomer_is_not_laid_to_the_service() -> None:
    """Without the people among the factors such a service seems to have done harm far more often."""
    found = [compared(seed, 24, 24, 1.0, careless=2.5) for seed in range(100)]
    wrongly = np.mean([one.decided for one in found])
    assert wrongly <= 0.12
    assert np.mean([log(one.as_seen) for one in found]) > 3 * abs(
        np.mean([log(one.ratio.value) for one in found])
    )


@pytest.mark.parametrize("sd", [0.15, 0.289, 0.314, 0.4, 0.6])
def test_where_each_person_is_on_one_side_alone_nobody_can_tell_the_sides_apart(sd: float) -> None:
    """Whatever the sides differ by, the people may: the likelihood says nothing of how far people lie apart."""
    y = np.log(np.r_[13.6, 13.6, 3.4 * (1 + np.arange(14) / 10)])
    found = two_sides(y, np.full(16, sd), np.arange(16) > 1, {"observer": ["Bram"] * 2 + ["Ines"] * 14})
    assert found is not None
    assert (found.ratio.low, found.ratio.high, found.decided) == (None, None, False)


def test_one_set_up_on_a_side_has_no_interval_and_none_no_answer() -> None:
    one = two_sides([2.0, 2.1, 2.5], [0.2, 0.2, 0.2], np.array([False, False, True]), {})
    assert one is not None
    assert one.ratio.low is None
    assert not one.decided
    assert two_sides([2.0, np.nan], [0.2, np.nan], np.array([False, True]), {}) is None


def sides(first: int, second: int, ratio: float, sd: float) -> TwoSides:
    return TwoSides(
        first_arcmin=Interval(10.0, 8.0, 12.0, first), second_arcmin=Interval(10.0 * ratio, 8.0, 19.0, second),
        ratio=Interval(ratio, 0.5, 3.0, first + second), as_seen=ratio, night_sd=sd,
    )  # fmt: skip


def test_how_many_nights_would_settle_it_by_hand() -> None:
    """sd 0.5, a factor e^0.5: 2 x (1.96 + 0.84)^2 = 15.7 a side; beside 40 before, 1/n = 1/7.85 - 1/40: 9.8 after."""
    found = sides(40, 3, exp(0.5), 0.5)
    assert found.more_nights("both") == 16 - 3
    assert found.more_nights("second") == 10 - 3
    assert sides(3, 40, exp(-0.5), 0.5).more_nights("first") == 10 - 3
    assert sides(5, 3, exp(0.5), 0.5).more_nights("second") is None
    assert sides(40, 3, exp(0.5), 0.5).more_nights("first") is None
    # a factor of 1.25 is asked for where less is seen: 2 (2.80 x 0.5 / 0.2231)^2 = 78.8
    assert sides(40, 10, 1.02, 0.5).more_nights("both") == 79 - 10


def test_so_many_nights_do_tell_it_in_four_cases_of_five() -> None:
    rng = np.random.default_rng(2)
    more = sides(40, 3, exp(0.5), 0.5).more_nights("second")
    assert more is not None
    told = 0
    for _ in range(400):
        before, after = rng.normal(0, 0.5, 40), rng.normal(0.5, 0.5, 3 + more)
        told += stats.ttest_ind(before, after).pvalue < 0.05
    assert 0.7 < told / 400 < 0.88  # 80 % with a standard error of 2 %, and t instead of the normal
