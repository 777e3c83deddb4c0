"""The verdict in words."""

from dataclasses import replace
from datetime import date, timedelta
from math import log
from uuid import UUID

import numpy as np
from numpy.random import default_rng

from obslog.club.over_time.own_trends import AlarmNight, MountOwn
from obslog.club.over_time.trend_words import alarm_words, change_words, own_reasons, verdict_words
from obslog.pointing.misfit.found_changes import FoundChange
from obslog.trends.own.own_dependence import OwnDependence
from obslog.trends.own.own_verdict import JointVerdict, OwnTrend
from obslog.trends.series.theil_sen import Slope, Verdict
from obslog.trends.series.trend import trend_of
from obslog.values import Estimate, Interval
from tests.known import known

FIRST = date(2024, 3, 1)


def an_own(days: int = 730, p: float = 0.01, **changed: object) -> MountOwn:
    """From 14' to 22', a factor of 1.25 a year."""
    trend = OwnTrend(
        slope=Slope(Interval(log(1.25), log(1.1), log(1.5), 24), p), p=p, count=24, nights=23, told_apart=1.1,
        rests_on=None, first_log=log(14.0), last_log=log(22.0),
    )  # fmt: skip
    values = {
        "key": UUID(int=1), "trend": trend, "first": FIRST, "last": FIRST + timedelta(days=days),
        "observers": ["Bram", "Ines"], "unsigned": 0, "rests_on": None, "alarms": [],
    }  # fmt: skip
    return MountOwn(**(values | changed))  # type: ignore[arg-type]


def few_nights() -> MountOwn:
    """Eight set-ups of one night."""
    own = an_own(days=0)
    return replace(own, trend=replace(known(own.trend), slope=None, count=8, nights=1))


CHANGE = FoundChange(
    last_before=date(2025, 3, 2), since=date(2025, 4, 1), term="cone",
    size_arcmin=Estimate(15.2, 1.1, 40, True), chance=2e-9, at_once=True, sure=True,
)  # fmt: skip
NEWLY = " since its cone error changed between the nights of 2025-03-02 and 2025-04-01"


def test_a_verdict_is_a_sentence() -> None:
    assert verdict_words("Bramble", an_own(), Verdict.WORSENING, None, "") == (
        "Bramble is worsening: half of its go-tos now land within 22'; 2 years earlier it was 14'."
    )
    # The geometric mean of 14 and 22 is 17.5.
    assert verdict_words("Bramble", an_own(), Verdict.STEADY, None, "") == (
        "Bramble is steady: half of its go-tos land within 18', and no change for better or worse is to be seen."
    )
    assert verdict_words("Bramble", an_own(150), Verdict.CANNOT_TELL, None, "") == (
        "Half of Bramble's go-tos now land within 22'; 5 months earlier it was 14', but its users changed too: whether "
        "that is the mount or they cannot be told."
    )
    assert verdict_words("Bramble", few_nights(), Verdict.TOO_FEW, None, " since the last service") == (
        "Too few nights to say whether Bramble gets worse since the last service: 8 set-ups with a landing on 1 night, "
        "and it takes 6 nights."
    )
    assert verdict_words("Bramble", an_own(), Verdict.TOO_FEW, None, "") == (
        "Whether Bramble changes cannot be told yet: half of its go-tos land within 18'."
    )
    assert verdict_words("Bramble", None, Verdict.TOO_FEW, None, "") == (
        "Too few nights to say whether Bramble gets worse: 0 set-ups with a landing, and it takes 6 nights."
    )


def test_too_few_nights_are_counted_as_nights() -> None:
    one_night = few_nights()
    assert verdict_words("Onenight", one_night, Verdict.TOO_FEW, None, "") == (
        "Too few nights to say whether Onenight gets worse: 8 set-ups with a landing on 1 night, and it takes 6 nights."
    )
    plain = trend_of([2026.2] * 8, np.arange(8.0))
    assert own_reasons(one_night, JointVerdict(Verdict.TOO_FEW, 0, None), plain, [], "") == [
        "8 set-ups on 1 night; a verdict needs 6 nights"
    ]


def test_under_half_a_year_the_reasons_tell_what_was_seen_and_nothing_of_a_year() -> None:
    # 73 days are a fifth of a year; the fifth roots of 1.25, 1.10 and 1.50 are 1.046, 1.019 and 1.084.
    plain = trend_of(2026 + np.arange(7) / 36.525, 0.1 * np.arange(7))
    told = own_reasons(an_own(days=73), JointVerdict(Verdict.WORSENING, 1, None), plain, [], "")
    assert told[1] == (
        "the mount's own: a factor of 1.05 in 73 days (95 % interval 1.02 to 1.08), p = 0.01 for no trend"
    )
    # exp(0.6) over the six steps of ten days.
    assert told[2] == "as used: a factor of 1.82 in 60 days (95 % interval 1.82 to 1.82), worsening"


def test_a_change_that_begins_its_set_ups_is_in_the_sentence() -> None:
    own = an_own(before_log=log(9.04))
    assert verdict_words("Bramble", own, Verdict.STEADY, CHANGE, " since then") == (
        f"Bramble is steady{NEWLY}: half of its go-tos land within 18'; before that it was 9.0'."
    )
    assert verdict_words("Bramble", own, Verdict.WORSENING, CHANGE, " since then") == (
        f"Bramble is worsening{NEWLY}: half of its go-tos now land within 22'; 2 years earlier it was 14'."
    )
    assert verdict_words("Bramble", own, Verdict.TOO_FEW, CHANGE, " since then") == (
        f"Whether Bramble changes{NEWLY} cannot be told yet: half of its go-tos land within 18'."
    )
    assert verdict_words("Bramble", few_nights(), Verdict.TOO_FEW, CHANGE, " since then").startswith(
        f"Too few nights to say whether Bramble gets worse{NEWLY}: "
    )
    assert change_words("Bramble", CHANGE, Interval(1.8, 1.3, 2.5, 24)) == (
        "its cone error changed by 15' ± 1' between the nights of 2025-03-02 and 2025-04-01, with no service on record "
        "then (chance alone gives as much less than once in 1000); its landing error changed by a factor of 1.80 (95 % "
        "interval 1.30 to 2.50) with it. Since then it counts as another mount. Was it knocked, or worked on? Record "
        'it: obslog service add Bramble --on 2025-04-01 --mechanical "what was done"'
    )


def test_the_reasons_have_both_slopes() -> None:
    plain = trend_of([0.0, 0.5, 1.0, 1.5, 2.0, 2.5], [0.0, 0.2, 0.1, 0.4, 0.3, 0.6])
    told = own_reasons(
        an_own(),
        JointVerdict(Verdict.WORSENING, 1, None),
        plain,
        ["observer", "site", "season"],
        " since the last service",
    )
    assert told[:2] == [
        "24 set-ups since the last service",
        "after allowing for who set it up, where and the season: a factor of 1.25 a year "
        "(95 % interval 1.10 to 1.50), p = 0.01 for no trend",
    ]
    assert told[2].startswith("as used: a factor of ")
    assert told[2].endswith(f", {plain.verdict}")
    assert len(told) == 3


def test_what_the_mount_follows_by_itself_is_a_reason_and_not_what_the_plain_slope_does() -> None:
    rng = default_rng(1)
    warmth = rng.normal(8, 6, 30)
    plain = trend_of(np.arange(30) / 12, 0.1 * warmth, (), warmth)
    assert any(reason.startswith("it follows the temperature") for reason in plain.reasons)
    own = an_own()
    alone = JointVerdict(Verdict.WORSENING, 1, None)
    assert not any("it follows" in reason for reason in own_reasons(own, alone, plain, ["temperature"], ""))
    assert own.trend is not None
    cold = OwnDependence(
        what="temperature", factor=1.5, p=0.002, per_year=Interval(log(1.2), log(1.0), log(1.44), 24)
    )
    following = replace(own, trend=replace(own.trend, follows=[cold]))
    assert own_reasons(following, alone, plain, ["temperature"], "")[-1] == (
        "it follows the temperature in a way of its own: a factor of 1.50 for 10 °C more, beside what all mounts do, "
        "p = 0.002; with that allowed for, a factor of 1.20 a year (95 % interval 1.00 to 1.44)"
    )


def test_what_may_be_anything_says_why_it_is_not_called_steady() -> None:
    told = own_reasons(an_own(), JointVerdict(Verdict.TOO_FEW, 1, None), trend_of([0.0], [1.0]), [], "")
    assert told[0] == "24 set-ups"
    assert told[-1] == "in a year the ends would be more than 30 times apart, and that is not called steady"


def test_what_makes_a_verdict_doubtful_is_told() -> None:
    plain = trend_of([0.0], [1.0])
    own = an_own(p=0.045, observers=["Ines"], rests_on=FIRST)
    told = own_reasons(own, JointVerdict(Verdict.STEADY, 5, 0.06), plain, [], "")
    assert told[1].startswith("the mount's own: a factor of 1.25 a year")
    assert "a verdict needs p under 0.04" in told
    assert "without the night of 2024-03-01 it would not be sure: one night is no trend" in told
    assert "all set up by Ines: a change in how that is done would look the same" in told
    assert told[-1].endswith("among 5 mounts looked at together p is 0.06: it may be chance")


def test_one_user_of_some_set_ups_is_not_said_to_have_made_all() -> None:
    own, alone = an_own(observers=["Ines"], unsigned=3), JointVerdict(Verdict.WORSENING, 1, None)
    assert not any(
        "all set up by" in reason for reason in own_reasons(own, alone, trend_of([0.0], [1.0]), [], "")
    )


def test_an_alarm_says_how_rare_it_is_by_chance() -> None:
    assert alarm_words(AlarmNight(FIRST, True, FIRST - timedelta(days=1), 170)) == (
        "2024-03-01: outside the control limits, worse than the first nights, most likely since 2024-02-29 "
        "(by chance one such alarm in 170 set-ups of the club)"
    )
