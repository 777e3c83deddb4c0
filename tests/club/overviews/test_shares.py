"""Shares with their intervals, against the beta distribution of scipy and a published table."""

import pytest
from numpy.testing import assert_allclose
from scipy import stats

from obslog.club.overviews.shares import share_of
from tests.known import known


@pytest.mark.parametrize(("count", "total"), [(1, 22), (5, 10), (9, 10), (40, 364)])
def test_the_interval_is_jeffreys(count: int, total: int) -> None:
    found = share_of(count, total)
    assert found is not None
    assert (found.value, found.count) == (count / total, total)
    ends = stats.beta.ppf([0.025, 0.975], count + 0.5, total - count + 0.5)
    assert_allclose([known(found.low), known(found.high)], ends, rtol=1e-4)


def test_five_of_ten_as_published() -> None:
    """Brown, Cai and DasGupta, Statistical Science 16 (2001) 101, table 5: 0.224 to 0.776."""
    found = share_of(5, 10)
    assert found is not None
    assert_allclose([known(found.low), known(found.high)], [0.224, 0.776], atol=5e-4)


def test_never_and_always_end_at_nothing_and_all() -> None:
    never, always = share_of(0, 8), share_of(8, 8)
    assert never is not None
    assert always is not None
    assert (never.low, always.high) == (0.0, 1.0)


def test_of_nothing_there_is_no_share() -> None:
    assert share_of(0, 0) is None
