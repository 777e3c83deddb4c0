"""One look at what the model leaves out, with what was found so far at work."""

from dataclasses import dataclass
from math import inf
from typing import Self

import numpy as np

from obslog.pointing.misfit.apart import SetupInformation, neighbours_differ
from obslog.pointing.misfit.changes import TermChange, likeliest_change
from obslog.pointing.misfit.columns import Columns, PossibleCause
from obslog.pointing.misfit.effects import Effects, chance_of, effects
from obslog.pointing.model.frames import FloatArray, IntArray
from obslog.vocabulary.mistakes import MisfitKind

LEAST_SIZE_ARCMIN = 0.5
"""Smaller than any eye at an eyepiece can judge, however exact the data are."""
LIKE_AGREED = 8.0
"""The scatter of neighbours leans on its expectation as if so many more pairs of them had agreed; judged."""
HEARD = 0.75
"""The lesser three quarters of the differences are heard: a wrong star in one set-up is not how all of them scatter."""
LEAST_WITHOUT_ONE = 0.02
"""How unlikely a cause must stay, whichever set-up is left out: what one evening tells alone is no habit."""
NOTHING = PossibleCause(kind=MisfitKind.MISFIT, columns=(), expected_arcmin=inf)


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchState:
    """What set-ups tell in these eras, given the columns that are taken to be at work, with their values.

    `scale` is how many times as far as they should neighbours differ.
    """

    apart: SetupInformation
    eras: IntArray
    mechanical_sd: FloatArray
    expected: FloatArray
    taken: list[int]
    not_taken: list[PossibleCause]
    at_work: Effects
    scale: float

    @classmethod
    def at(
        cls,
        apart: SetupInformation,
        columns: Columns,
        eras: IntArray,
        mechanical_sd: FloatArray,
        causes: list[tuple[PossibleCause, float]],
        passed_over: list[PossibleCause],
    ) -> Self:
        known = [*(cause for cause, _ in causes), *passed_over]
        taken = [column for cause, _ in causes for column in cause.columns]
        expected = columns.expected_arcmin
        at_work = effects(apart, eras, taken, mechanical_sd, expected[taken])
        return cls(
            apart=apart,
            eras=eras,
            mechanical_sd=mechanical_sd,
            expected=expected,
            taken=taken,
            not_taken=[cause for cause in columns.causes if all(cause is not one for one in known)],
            at_work=at_work,
            scale=scatter(apart.without(taken, at_work.values), eras),
        )

    @property
    def others(self) -> int:
        """How many causes are looked at."""
        return len(self.not_taken)

    def likeliest_change(self, rng: np.random.Generator) -> TermChange | None:
        """The change that chance explains least; None where there is none of a size that anybody could see."""
        settled = self.apart.without(self.taken, self.at_work.values)
        change = likeliest_change(settled, self.eras, self.mechanical_sd, rng)
        return change if change and abs(change.size_arcmin) >= LEAST_SIZE_ARCMIN else None

    def likeliest_cause(self) -> tuple[PossibleCause, float]:
        """The cause that chance explains least, of those of such a size, and how often it does; else nothing."""
        chances = [
            (self._chance_of(self.apart, cause), cause) for cause in self.not_taken if self._is_seen(cause)
        ]
        chance, cause = min(chances, key=lambda one: one[0], default=(1.0, NOTHING))
        return cause, chance

    def told_by_one(self, cause: PossibleCause) -> int | None:
        """The set-up without which there is nothing to be seen of it, if there is one."""
        for setup in range(self.eras.size):
            if self._chance_of(self.apart.silenced([setup]), cause) > LEAST_WITHOUT_ONE:
                return setup
        return None

    def _chance_of(self, apart: SetupInformation, cause: PossibleCause) -> float:
        expected = self.expected[[*self.taken, *cause.columns]]
        return chance_of(
            apart, self.eras, self.taken, cause.columns, self.mechanical_sd, expected, self.scale
        )

    def _is_seen(self, cause: PossibleCause) -> bool:
        columns = [*self.taken, *cause.columns]
        found = effects(self.apart, self.eras, columns, self.mechanical_sd, self.expected[columns])
        return float(np.hypot.reduce(found.values[len(self.taken) :])) >= LEAST_SIZE_ARCMIN


def scatter(settled: SetupInformation, eras: IntArray) -> float:
    """How many times as far as their uncertainties neighbours inside eras differ; never less than once.

    Neighbours are set-ups that tell something, whatever lies between them.

    By this uncertainties are widened; the search for changes has a scale of its own, and says why (`changes.scale_of`).
    """
    telling = settled.telling()
    same = eras[telling][1:] == eras[telling][:-1]
    differ = np.sort(neighbours_differ(settled.of(telling))[same])
    if not differ.size:
        return 1.0
    heard = differ[: int(np.ceil(HEARD * differ.size))]
    mean_square = (heard.sum() / _mean_of_the_lesser(heard.size / differ.size) + LIKE_AGREED) / (
        heard.size + LIKE_AGREED
    )
    return float(np.sqrt(max(mean_square, 1.0)))


def _mean_of_the_lesser(share: float) -> float:
    """The mean of the least of many squares of three normal deviates (chi-square), of that share of them.

    By hand 3 F5(x) / share, where F3(x) is the share: 1.864 of three quarters; of all 3.
    """
    from scipy.special import gammainc, gammaincinv

    return float(3.0 * gammainc(2.5, gammaincinv(1.5, share)) / share)
