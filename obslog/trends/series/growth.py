"""How much something grew, told of a year only where it was seen over half of one: beyond that it would be a guess."""

from dataclasses import dataclass
from math import exp, inf

from obslog.english import counted
from obslog.estimate_words import ends_words
from obslog.trends.series.theil_sen import factor_of
from obslog.values import Interval

DAYS_A_YEAR = 365.25
SHORTEST_FOR_A_YEAR = 181 / DAYS_A_YEAR
"""The shorter half of a calendar year."""


@dataclass(frozen=True, slots=True)
class Grown:
    """What a slope makes of something in a year, or in the days that it was seen over, where these are fewer than half.

    `change` is a difference of logarithms, or of sizes.
    """

    change: Interval
    days: int | None

    @property
    def factor(self) -> Interval:
        """What a difference of logarithms multiplies by in that time."""
        return factor_of(self.change)

    @property
    def time(self) -> str:
        """`a year`, `in 15 days`."""
        return "a year" if self.days is None else f"in {counted(self.days, 'day')}"

    @property
    def extent(self) -> float:
        """The ratio of the ends of the factor's interval, inf where one is open."""
        low, high = self.change.low, self.change.high
        return inf if low is None or high is None else exp(high - low)


def grown(per_year: Interval, years: float) -> Grown:
    """What a slope that was seen over so many years, from the first to the last, comes to."""
    if years >= SHORTEST_FOR_A_YEAR:
        return Grown(per_year, None)
    low, high = (None if end is None else end * years for end in (per_year.low, per_year.high))
    return Grown(Interval(per_year.value * years, low, high, per_year.count), round(years * DAYS_A_YEAR))


def growth_words(per_year: Interval, years: float, unit: str | None = None) -> str:
    """A slope of logarithms as what it multiplies by, one of sizes in its unit; with its interval, and in what time.

    It was seen over so many years.
    """
    told = grown(per_year, years)
    if unit is not None:
        return f"{told.change.value:+.2f} {unit} {told.time} ({ends_words(told.change, '+.2f')})"
    return f"a factor of {told.factor.value:.2f} {told.time} ({ends_words(told.factor)})"
