"""The verdict on a mount's own part: what it takes, and among how many mounts."""

import pytest

from obslog.trends.own.own_verdict import HARD_TO_TELL, OwnTrend, own_verdict, verdicts_together
from obslog.trends.series.theil_sen import Slope, Verdict
from obslog.values import Interval


def a_trend(p: float, growth: float = 0.5, told_apart: float = 1.0, count: int = 12) -> OwnTrend:
    return OwnTrend(
        slope=Slope(Interval(growth, growth - 0.4, growth + 0.4, count), p), p=p, count=count, told_apart=told_apart,
        rests_on=None, first_log=2.0, last_log=2.5,
    )  # fmt: skip


def test_a_verdict_needs_six_set_ups_and_a_p_under_four_hundredths() -> None:
    assert own_verdict(a_trend(0.039)) is Verdict.WORSENING
    assert own_verdict(a_trend(0.039, growth=-0.5)) is Verdict.IMPROVING
    assert own_verdict(a_trend(0.041)) is Verdict.STEADY
    assert own_verdict(a_trend(0.001, count=5)) is Verdict.TOO_FEW
    assert own_verdict(a_trend(0.041, told_apart=HARD_TO_TELL + 0.1)) is Verdict.CANNOT_TELL
    assert own_verdict(a_trend(0.001, told_apart=HARD_TO_TELL + 0.1)) is Verdict.WORSENING


def test_of_many_mounts_the_false_discovery_rate_is_kept() -> None:
    # Benjamini and Hochberg by hand, 4 p over its rank: 0.004; 0.06, but the next is less; 4 x 0.035 / 3 = 0.047; 0.9.
    found = verdicts_together([a_trend(0.001), a_trend(0.03), None, a_trend(0.9), a_trend(0.035)])
    assert [one.verdict for one in found] == [
        Verdict.WORSENING, Verdict.WORSENING, Verdict.TOO_FEW, Verdict.STEADY, Verdict.WORSENING,
    ]  # fmt: skip
    # With one more steady mount both are 5 / 3 x 0.035 = 0.058.
    more = verdicts_together([a_trend(0.001), a_trend(0.03), a_trend(0.9), a_trend(0.035), a_trend(0.8)])
    assert [one.verdict for one in more] == [
        Verdict.WORSENING, Verdict.STEADY, Verdict.STEADY, Verdict.STEADY, Verdict.STEADY,
    ]  # fmt: skip
    assert more[1].mounts == 5
    assert more[1].raised_p == pytest.approx(0.035 * 5 / 3)
    assert more[0].raised_p is None
