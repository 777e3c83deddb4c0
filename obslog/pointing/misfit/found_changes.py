"""The changes that a joint fit found and nobody wrote down: when, of what, how large, and whether they are sure."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import hypot
from typing import TYPE_CHECKING

from obslog.errors import quoted
from obslog.estimate_words import size_words
from obslog.pointing.joint_fit.words import ARCMIN
from obslog.values import Estimate, SetupId
from obslog.vocabulary.mounts import MECHANICAL_TERMS

if TYPE_CHECKING:
    from obslog.pointing.misfit.changes import TermChange
    from obslog.pointing.misfit.examined import Examined

ONE_OF_MANY = 1000
SURE_LEVEL = 0.001
"""How often, in all looks together, chance alone may give what is called sure."""
SCATTER_LEVEL = 0.01
"""The same where a term differs from set-up to set-up, as that of a tube that is clamped anew each night."""
SURE_SD = 3.0
"""Standard deviations, in the fit with both eras, that the size of a sure change has at least."""
SURE_OVER_DRIFT = 6.0
"""Chi-square by which a step beats a steady drift where it surely came at once: odds of twenty to one (exp(3))."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundChange:
    """A change of a term (cone, squareness, sag) between two nights.

    `chance` is how often chance alone gives as much, in all looks together. `at_once` is one that a slow drift hardly
    explains; `alone` one that stands out from how the term differs from set-up to set-up. `sure` is one that is both,
    and that chance hardly explains either: the mount is another from then on.
    """

    last_before: date
    since: date
    term: str
    size_arcmin: Estimate
    chance: float
    at_once: bool
    alone: bool = True
    sure: bool

    @property
    def words(self) -> str:
        """What changed, by how much and when: the beginning of a sentence."""
        size = size_words(self.size_arcmin, ARCMIN)
        return f"{MECHANICAL_TERMS[self.term]} changed by {size} {self.when}"

    @property
    def when(self) -> str:
        return when_words(self.last_before, self.since)


def changes_of(setups: Sequence[SetupId], examined: "Examined") -> list[FoundChange]:
    """The changes among these set-ups, in order of time."""
    found = examined.left_out
    return [
        _found(setups, examined, change) for change in sorted(found.changes, key=lambda change: change.setup)
    ]


def _found(setups: Sequence[SetupId], examined: "Examined", change: "TermChange") -> FoundChange:
    """The change as the fit with both eras has it: the scan that found it took one scatter for both."""
    era, term = int(examined.left_out.eras[change.setup]), list(MECHANICAL_TERMS)[change.term]
    before, after = (getattr(examined.fit.mechanical[number], term) for number in (era - 1, era))
    size = Estimate(after.value - before.value, hypot(before.sd, after.sd), after.count, determined=True)
    at_once = change.over_drift >= SURE_OVER_DRIFT
    by_chance = change.p * examined.left_out.looks
    alone = change.by_scatter <= SCATTER_LEVEL
    sure = at_once and alone and by_chance <= SURE_LEVEL and abs(size.value) >= SURE_SD * size.sd
    return FoundChange(
        last_before=setups[change.before].night,
        since=setups[change.setup].night,
        term=term,
        size_arcmin=size,
        chance=min(1.0, by_chance),
        at_once=at_once,
        alone=alone,
        sure=sure,
    )


def record_words(mount: str, change: FoundChange) -> str:
    """The command that puts it on record."""
    return f'obslog service add {quoted(mount)} --on {change.since} --mechanical "what was done"'


def when_words(last_before: date, since: date) -> str:
    """When something changed of which two set-ups in a row are on either side, by their nights."""
    if last_before == since:
        return f"in the night of {since}"
    return f"between the nights of {last_before} and {since}"


def chance_of_words(chance: float) -> str:
    """How often chance alone gives as much, in words."""
    if chance * ONE_OF_MANY < 1.0:
        return f"chance alone gives as much less than once in {ONE_OF_MANY}"
    return f"chance alone gives as much once in {1.0 / chance:.0f}"
