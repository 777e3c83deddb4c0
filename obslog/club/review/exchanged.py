"""Two mounts that took each other's errors between the same nights: they or their labels were exchanged."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from itertools import combinations
from math import hypot

from obslog.club.performance.fit_summary import FitSummary
from obslog.pointing.misfit.found_changes import FoundChange
from obslog.values import Estimate

NEAR_SD = 3.0
"""Standard deviations that the one's error since and the other's before are apart at most."""


@dataclass(frozen=True, slots=True)
class Exchanged:
    """With which mount, what both changed in, and between which nights of this mount."""

    other: str
    change: FoundChange


def exchanged(summaries: Mapping[str, FitSummary]) -> dict[str, list[Exchanged]]:
    """The mounts that became each other, by name.

    Each of the two has to be surely another since its newest change, both between nights that overlap and in the same
    term, and each has since then what the other had before.
    """
    found: dict[str, list[Exchanged]] = {}
    changed = {name: one for name, one in summaries.items() if one.changes and one.changes[-1].sure}
    for (name, one), (other, two) in combinations(changed.items(), 2):
        mine, its = one.changes[-1], two.changes[-1]
        same = one.mount_type is two.mount_type and mine.term == its.term and _overlap(mine, its)
        if same and _near(_since(one), _before(two)) and _near(_since(two), _before(one)):
            found.setdefault(name, []).append(Exchanged(other, mine))
            found.setdefault(other, []).append(Exchanged(name, its))
    return found


def _overlap(one: FoundChange, other: FoundChange) -> bool:
    """Whether both may have happened on one day: each after its last night before and not after its next."""
    first: date = max(one.last_before, other.last_before)
    return first <= min(one.since, other.since)


def _since(summary: FitSummary) -> Estimate:
    found: Estimate = getattr(summary.newest, summary.changes[-1].term)
    return found


def _before(summary: FitSummary) -> Estimate:
    """The error before the change: what it is since, less by what it changed."""
    now, size = _since(summary), summary.changes[-1].size_arcmin
    sd = (max(size.sd**2 - now.sd**2, 0.0)) ** 0.5
    return Estimate(now.value - size.value, sd, size.count, determined=True)


def _near(one: Estimate, other: Estimate) -> bool:
    return abs(one.value - other.value) <= NEAR_SD * hypot(one.sd, other.sd)
