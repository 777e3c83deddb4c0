"""What an item's cost is written down to by the club's rule: in a straight line, or declining. None without a rule.

It stands beside the value on record and never takes its place: that says what replacing the item would cost.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from obslog.club.register.rule_book import Rules, TwoWays, category_word
from obslog.club.register.rule_table import DEPRECIATION_YEARS_OF, OF_CATEGORY, WAYS_TO_DEPRECIATE
from obslog.english import counted
from obslog.times import months_later

YEARS, PERCENT = WAYS_TO_DEPRECIATE
FLOOR = "depreciation-floor-percent"


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenDown:
    """What a cost is written down to on a day, by which rule, and from which day on.

    `rule` is what the rule does; `rule_name` that of the one that applies, and `rule_for` whom it is for: a category, a
    kind, or None for all.
    """

    value: float
    rule: str
    rule_name: str
    rule_for: str | None
    cost: float
    from_on: date
    on: date


@dataclass(frozen=True, slots=True)
class Depreciation:
    """A rule: its name, for which items it is, its words, and what a cost comes to after so many years."""

    name: str
    items: str | None
    words: str
    value_after: Callable[[float, float], float]

    def of(self, cost: float | None, from_on: date | None, on: date) -> WrittenDown | None:
        """None where the cost or the day is not known, or that day is still to come."""
        if cost is None or from_on is None or from_on > on:
            return None
        value = round(self.value_after(cost, age_years(from_on, on)), 2)
        return WrittenDown(
            value=value,
            rule=self.words,
            rule_name=self.name,
            rule_for=self.items,
            cost=cost,
            from_on=from_on,
            on=on,
        )


def depreciation_of(rules: Rules, kind: str, category: str | None = None) -> Depreciation | None:
    """The club's rule for such items: their category's own, else their kind's, else the one for all. Raises TwoWays."""
    if category is not None:
        years, percent = rules.of_category(category)
        if years is not None or percent is not None:
            names = [f"{rule}{category_word(category)}" for rule in OF_CATEGORY]
            return _by(rules, names, years, percent, f"category {category}")
    own, years, percent = rules.get(DEPRECIATION_YEARS_OF[kind]), rules.get(YEARS), rules.get(PERCENT)
    if years is not None and percent is not None:
        raise TwoWays
    if own is not None:
        return _by(rules, (DEPRECIATION_YEARS_OF[kind], PERCENT), own, None, f"{kind}s")
    return _by(rules, WAYS_TO_DEPRECIATE, years, percent, None)


def depreciates(rules: Rules) -> bool:
    """Whether the club has a rule for any items. Raises TwoWays."""
    return rules.names_a_category or any(depreciation_of(rules, kind) for kind in DEPRECIATION_YEARS_OF)


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


def _by(
    rules: Rules, names: Sequence[str], years: float | None, percent: float | None, items: str | None
) -> Depreciation | None:
    """In a straight line where years are set, declining where a percentage is; None where neither is."""
    floor_percent = rules.get(FLOOR) or 0.0
    line, share = names
    if years is not None:
        return Depreciation(
            line,
            items,
            f"straight line over {counted(int(years), 'year')}{_down_to(floor_percent)}",
            lambda cost, age: straight_line(cost, cost * floor_percent / 100, years, age),
        )
    if percent is None:
        return None
    return Depreciation(
        share,
        items,
        f"{percent:g} % a year of what is left{_down_to(floor_percent)}",
        lambda cost, age: declining_balance(cost, cost * floor_percent / 100, percent / 100, age),
    )


def _down_to(floor_percent: float) -> str:
    return f", down to {floor_percent:g} % of the cost" if floor_percent else ""
