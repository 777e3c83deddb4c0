"""How often something goes wrong: a rate that forgets over a year and borrows strength from the whole club's.

Each occasion went wrong or did not. An old one counts less, by exp(-age / one year). Where few are one's own, the rate
of all the others counts as a few nights more. The posterior of such a rate is a beta distribution, in closed form.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog.trends.series.incomplete_beta import beta_below, beta_quantile

Array = NDArray[np.float64]

MEMORY_DAYS = 365.25
FORGOTTEN_DAYS = 8 * MEMORY_DAYS
"""What is older counts as nothing: 1/3000 of an occasion of tonight."""
TAIL = (1 - 0.95) / 2
"""On either side of an interval that holds the rate with a probability of 0.95."""
BORROWED_NIGHTS = 4.0
"""As many nights of one's own does the club's rate count for; judged from common practice (no source)."""

BEFORE_ANY_RECORD = (0.5, 9.5)
"""Wrong and well before the club has a record: one night in twenty, worth ten nights; common practice (no source)."""


@dataclass(frozen=True)
class BetaRate:
    """Rates (k,) as beta distributions: the weights of the occasions that went wrong and of those that went well."""

    wrong: Array
    well: Array

    def of(self, place: int) -> "BetaRate":
        """One of the rates alone, (1,)."""
        return BetaRate(self.wrong[[place]], self.well[[place]])

    @property
    def mean(self) -> Array:
        return self.wrong / (self.wrong + self.well)

    @property
    def sd(self) -> Array:
        total = self.wrong + self.well
        return np.sqrt(self.wrong * self.well / (total**2 * (total + 1)))

    def chance_above(self, rate: float) -> Array:
        """The probability (k,) that the rate is above a stated one."""
        return beta_below(self.well, self.wrong, 1 - rate)

    def interval(self) -> tuple[Array, Array]:
        """The ends (k,) of the central interval that holds the rate with a probability of 0.95."""
        return beta_quantile(self.wrong, self.well, TAIL), beta_quantile(self.wrong, self.well, 1 - TAIL)


def fading_weight(age_days: ArrayLike) -> Array:
    """How much an occasion of that age counts: 1 now, 0.37 after a year, 0.14 after two; nan stays nan."""
    return np.asarray(np.exp(-np.asarray(age_days, float) / MEMORY_DAYS))


def faded_counts(age_days: ArrayLike, went_wrong: ArrayLike) -> tuple[Array, Array]:
    """The weights (k,) of wrong and of well, from ages (n,) in days and what went wrong (n, k); nan is left out."""
    weight, wrong = fading_weight(age_days), np.asarray(went_wrong, float)
    known = np.where(np.isnan(wrong) | np.isnan(weight)[:, None], 0.0, weight[:, None])
    total = known.sum(axis=0)
    bad = (known * np.nan_to_num(wrong)).sum(axis=0)
    return bad, total - bad


def rate_of_others(wrong: ArrayLike, well: ArrayLike) -> BetaRate:
    """What is supposed of a rate before one's own nights: the mean rate of all others, worth BORROWED_NIGHTS.

    Neglects: how sure the others' rate itself is, which matters where the club has few nights; there the rate before
    any record takes over.
    """
    bad, good = (
        np.asarray(counted, float) + before
        for counted, before in zip((wrong, well), BEFORE_ANY_RECORD, strict=True)
    )
    mean = bad / (bad + good)
    return BetaRate(BORROWED_NIGHTS * mean, BORROWED_NIGHTS * (1 - mean))


def learned_rate(prior: BetaRate, wrong: ArrayLike, well: ArrayLike) -> BetaRate:
    """The posterior: what was supposed, and one's own weights of wrong and well added.

    Source: A. Gelman et al., Bayesian Data Analysis, 3rd ed. 2013, section 2.4 (beta prior, binomial data).
    """
    return BetaRate(prior.wrong + np.asarray(wrong, float), prior.well + np.asarray(well, float))
