"""The verdict on a mount's own part: what it takes, and among how many mounts."""

import pytest

from obslog.trends.own.own_verdict import HARD_TO_TELL, OwnTrend, own_verdict, verdicts_together
from obslog.trends.series.theil_sen import Slope, Verdict
from obslog.values import Interval


def a_trend(
    p: float, growth: float = 0.5, told_apart: float = 1.0, nights: int = 12, half: float = 0.4
) -> OwnTrend:
    return OwnTrend(
        slope=Slope(Interval(growth, growth - half, growth + half, 12), p), p=p, count=12, nights=nights,
        told_apart=told_apart, rests_on=None, first_log=2.0, last_log=2.5,
    )  # fmt: skip


def test_a_verdict_needs_six_nights_and_a_p_under_four_hundredths() -> None:
    assert own_verdict(a_trend(0.039)) is Verdict.WORSENING
    assert own_verdict(a_trend(0.039, growth=-0.5)) is Verdict.IMPROVING
    assert own_verdict(a_trend(0.041)) is Verdict.STEADY
    assert own_verdict(a_trend(0.001, nights=5)) is Verdict.TOO_FEW
    assert own_verdict(a_trend(0.041, told_apart=HARD_TO_TELL + 0.1)) is Verdict.CANNOT_TELL
    assert own_verdict(a_trend(0.001, told_apart=HARD_TO_TELL + 0.1)) is Verdict.WORSENING


def test_what_may_be_anything_is_not_called_steady() -> None:
    """A year's factor is known within ln 30 = 3.401 or it is not; whatever hides it comes first."""
    assert own_verdict(a_trend(0.5, half=1.7)) is Verdict.STEADY
    assert own_verdict(a_trend(0.5, half=1.701)) is Verdict.TOO_FEW
    assert own_verdict(a_trend(0.5, half=5.0, told_apart=HARD_TO_TELL + 0.1)) is Verdict.CANNOT_TELL
    assert own_verdict(a_trend(0.001, half=5.0)) is Verdict.WORSENING


def test_a_mount_that_may_be_anything_counts_among_those_looked_at() -> None:
    """By Benjamini and Hochberg 2 x 0.03 of two, the other being above; of one alone it would be 0.03, and sure."""
    found = verdicts_together([a_trend(0.03), a_trend(0.9, half=5.0), a_trend(0.9, nights=5)])
    assert [one.verdict for one in found] == [Verdict.STEADY, Verdict.TOO_FEW, Verdict.TOO_FEW]
    assert found[0].mounts == 2
    assert found[0].raised_p == pytest.approx(0.06)


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
