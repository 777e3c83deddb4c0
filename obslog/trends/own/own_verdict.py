"""What an era of a mount did by itself, and the verdict on it: alone, and among the club's mounts."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from obslog.trends.own.own_dependence import OwnDependence
from obslog.trends.series.rank_tests import adjusted_p
from obslog.trends.series.theil_sen import FEWEST_FOR_A_VERDICT, LEVEL, Slope, Verdict, narrow_enough

HARD_TO_TELL = 1.5
"""Where not knowing users, tubes and sites makes the slope's sd so many times as large, they hide what it does."""
OWN_LEVEL = 0.04
"""The two-sided p of a verdict: of steady mounts about two in a hundred are called worsening, whatever disturbs."""
HIDING = {
    "observer": Verdict.CANNOT_TELL,
    "tube": Verdict.CANNOT_TELL_TUBES,
    "site": Verdict.CANNOT_TELL_SITES,
}
"""What may change with time as the mount does, and the verdict where it hides what the mount does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnTrend:
    """What an era of a mount did by itself, from so many set-ups on so many nights.

    `p` is the larger of the slope's and of that without any night that is far out; `rests_on` is the place, among the
    set-ups of the era, of the first of the night that alone makes the slope sure. `told_apart` is the slope's sd where
    nothing is known of its users, tubes and sites beforehand, over that with all known of them: 1 where they hide
    nothing.
    `tubes` is on how many tubes that rests; `hidden_by` which of its users, tubes and sites hide most of what it does.
    `first_log` and `last_log` are the logarithms of the landing error, with average users at average sites (of a slope
    that is hidden, at that of the last set-up) and the tube of the last set-up, on its first and its last set-up, by
    the line. `follows` is what it surely follows in a way of
    its own.
    """

    slope: Slope | None
    p: float
    count: int
    nights: int
    told_apart: float
    rests_on: int | None
    first_log: float
    last_log: float
    follows: list[OwnDependence] = field(default_factory=list)
    tubes: int = 1
    hidden_by: str = "observer"

    @property
    def nights_enough(self) -> bool:
        """Whether it was set up on nights enough to be judged; that may still tell too little to call it steady."""
        return self.slope is not None and self.nights >= FEWEST_FOR_A_VERDICT

    @property
    def verdict(self) -> Verdict:
        return own_verdict(self)


@dataclass(frozen=True, slots=True)
class JointVerdict:
    """A verdict among those of so many mounts; where that alone keeps it from being sure, the raised p."""

    verdict: Verdict
    mounts: int
    raised_p: float | None


def verdicts_together(trends: Sequence[OwnTrend | None]) -> list[JointVerdict]:
    """The verdicts on several mounts: of those called worsening or improving at most one in twenty is steady.

    None is a mount of which nothing is known.

    Source: Y. Benjamini, Y. Hochberg, J. R. Stat. Soc. B 57 (1995) 289.
    """
    judged = [t for t in trends if t is not None and t.nights_enough]
    raised = iter(adjusted_p([trend.p for trend in judged]))
    found = []
    for trend in trends:
        if trend is None or not trend.nights_enough:
            found.append(JointVerdict(Verdict.TOO_FEW, len(judged), None))
            continue
        p = float(next(raised))
        verdict = own_verdict(trend, p)
        found.append(JointVerdict(verdict, len(judged), None if verdict is trend.verdict else p))
    return found


def own_verdict(trend: OwnTrend, together: float = 0.0) -> Verdict:
    """The verdict on an own trend; what is not sure, and hidden by its users, tubes or sites, is not called steady.

    Nor is what may be anything by the slope's interval: that takes more nights.
    `together` is the p of a mount among others looked at with it, which has to be under one in twenty.
    """
    slope = trend.slope
    if slope is None or not trend.nights_enough:
        return Verdict.TOO_FEW
    if trend.p < OWN_LEVEL and together < LEVEL:
        return Verdict.WORSENING if slope.per_year.value > 0 else Verdict.IMPROVING
    if trend.told_apart > HARD_TO_TELL:
        return HIDING[trend.hidden_by]
    return Verdict.STEADY if narrow_enough(slope.per_year) else Verdict.TOO_FEW
