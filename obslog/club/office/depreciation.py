"""What an item's cost is written down to by the club's rule: in a straight line, or declining. None without a rule.

It stands beside the value on record and never takes its place: that says what replacing the item would cost.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from obslog.club.register.rule_book import DEPRECIATION_YEARS_OF, WAYS_TO_DEPRECIATE, Rules, TwoWays
from obslog.times import months_later
from obslog.vocabulary import counted

YEARS, PERCENT = WAYS_TO_DEPRECIATE
FLOOR = "depreciation-floor-percent"


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenDown:
    """What a cost is written down to on a day, by which rule, and from which day on."""

    value: float
    rule: str
    cost: float
    from_on: date
    on: date


@dataclass(frozen=True, slots=True)
class Depreciation:
    """A rule: its words, and what a cost comes to after so many years."""

    words: str
    value_after: Callable[[float, float], float]

    def of(self, cost: float | None, from_on: date | None, on: date) -> WrittenDown | None:
        """None where the cost or the day is not known, or that day is still to come."""
        if cost is None or from_on is None or from_on > on:
            return None
        value = round(self.value_after(cost, age_years(from_on, on)), 2)
        return WrittenDown(value=value, rule=self.words, cost=cost, from_on=from_on, on=on)


def depreciation_of(rules: Rules, kind: str) -> Depreciation | None:
    """The club's rule for items of that kind: its own straight line, else the one for all. Raises TwoWays."""
    own, years, percent = rules.get(DEPRECIATION_YEARS_OF[kind]), rules.get(YEARS), rules.get(PERCENT)
    floor = rules.get(FLOOR) or 0.0
    if years is not None and percent is not None:
        raise TwoWays
    if own is not None or years is not None:
        return _straight_line(own if own is not None else years or 0.0, floor)
    return None if percent is None else _declining(percent, floor)


def straight_line(cost: float, floor: float, life_years: float, age: float) -> float:
    """The same amount less each year, from the cost to the floor after the whole life; then it stays there."""
    return cost - (cost - floor) * min(age / life_years, 1.0)


def declining_balance(cost: float, floor: float, share_a_year: float, age: float) -> float:
    """Each year the same share less of what is left, never below the floor."""
    return max(floor, cost * float((1 - share_a_year) ** age))


def age_years(from_on: date, on: date) -> float:
    """Whole years to the last anniversary, and the part of the year since. Of 29 February it is the 28th."""
    whole = on.year - from_on.year
    if months_later(from_on, 12 * whole) > on:
        whole -= 1
    last, following = months_later(from_on, 12 * whole), months_later(from_on, 12 * (whole + 1))
    return whole + (on - last).days / (following - last).days


def _straight_line(years: float, floor_percent: float) -> Depreciation:
    return Depreciation(
        f"straight line over {counted(int(years), 'year')}{_down_to(floor_percent)}",
        lambda cost, age: straight_line(cost, cost * floor_percent / 100, years, age),
    )


def _declining(percent: float, floor_percent: float) -> Depreciation:
    return Depreciation(
        f"{percent:g} % a year of what is left{_down_to(floor_percent)}",
        lambda cost, age: declining_balance(cost, cost * floor_percent / 100, percent / 100, age),
    )


def _down_to(floor_percent: float) -> str:
    return f", down to {floor_percent:g} % of the cost" if floor_percent else ""
