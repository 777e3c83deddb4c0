"""What the club's rule of depreciation comes to, held against the definitions of textbooks and sums done by hand.

The definitions are from memory, as they stand in textbooks of accounting and of engineering economy (for one, Park,
"Contemporary Engineering Economics", the chapter on depreciation):

    straight line      book value after n years = cost - n * (cost - salvage) / life
    declining balance  book value after n years = cost * (1 - rate) ** n, never below salvage
"""

from datetime import date

import pytest
from numpy.testing import assert_allclose

from obslog.club.office.depreciation import (
    age_years,
    declining_balance,
    depreciates,
    depreciation_of,
    straight_line,
)
from obslog.club.register.rule_book import Rules, TwoWays

BOUGHT = date(2020, 3, 1)


def book_values_straight_line(cost: float, salvage: float, life: int) -> list[float]:
    """Year by year, the yearly amount taken off."""
    yearly = (cost - salvage) / life
    values = [cost]
    for _ in range(life):
        values.append(values[-1] - yearly)
    return values


def book_values_declining(cost: float, salvage: float, rate: float, years: int) -> list[float]:
    """Year by year, the rate taken off what is left, but never more than leads to the salvage value."""
    values = [cost]
    for _ in range(years):
        values.append(values[-1] - min(rate * values[-1], values[-1] - salvage))
    return values


@pytest.mark.parametrize(
    ("cost", "salvage", "life"), [(1200, 120, 10), (890.0, 0, 3), (0, 0, 5), (50, 50, 4)]
)
def test_a_straight_line_is_the_textbooks(cost: float, salvage: float, life: int) -> None:
    ours = [straight_line(cost, salvage, life, age) for age in range(life + 1)]
    assert_allclose(ours, book_values_straight_line(cost, salvage, life), rtol=1e-12, atol=1e-9)
    assert straight_line(cost, salvage, life, life + 7.3) == salvage


@pytest.mark.parametrize(("cost", "salvage", "rate"), [(1000, 0, 0.2), (1000, 300, 0.2), (640, 64, 0.25)])
def test_declining_by_a_share_of_what_is_left_is_the_textbooks(
    cost: float, salvage: float, rate: float
) -> None:
    ours = [declining_balance(cost, salvage, rate, age) for age in range(16)]
    assert_allclose(ours, book_values_declining(cost, salvage, rate, 15), rtol=1e-12)


@pytest.mark.parametrize(
    ("own", "on", "value", "words"),
    [
        # 1200 over 10 years down to 120: 108 less a year. After 4 years 1200 - 432.
        ({"depreciation-years": 10, "depreciation-floor-percent": 10}, date(2024, 3, 1), 768.00,
         "straight line over 10 years, down to 10 % of the cost"),
        # Half a year on, of the year from 1 March 2024 to 1 March 2025, is 184 of 365 days: 108 * 184 / 365 = 54.44.
        ({"depreciation-years": 10, "depreciation-floor-percent": 10}, date(2024, 9, 1), 713.56,
         "straight line over 10 years, down to 10 % of the cost"),
        ({"depreciation-years": 1}, date(2026, 1, 1), 0.00, "straight line over 1 year"),
        # 1200 * 0.8 = 960, 768, 614.40, 491.52.
        ({"depreciation-percent": 20}, date(2024, 3, 1), 491.52, "20 % a year of what is left"),
        # ... and no less than half of 1200.
        ({"depreciation-percent": 20, "depreciation-floor-percent": 50}, date(2024, 3, 1), 600.00,
         "20 % a year of what is left, down to 50 % of the cost"),
        ({"depreciation-years": 10}, BOUGHT, 1200.00, "straight line over 10 years"),
        # The line of mounts alone goes before both: 1200 * (1 - 4 / 5).
        ({"depreciation-percent": 20, "depreciation-years-mounts": 5}, date(2024, 3, 1), 240.00,
         "straight line over 5 years"),
    ],
)  # fmt: skip
def test_an_amount_done_by_hand(own: dict[str, float], on: date, value: float, words: str) -> None:
    rule = depreciation_of(Rules(own), "mount")
    assert rule is not None
    found = rule.of(1200.0, BOUGHT, on)
    assert found is not None
    assert (found.value, found.rule, found.cost, found.from_on, found.on) == (
        value,
        words,
        1200.0,
        BOUGHT,
        on,
    )


@pytest.mark.parametrize(
    ("own", "value", "name", "items"),
    [
        # The category goes before the kind and the rule for all: 1200 * (1 - 4 / 6) = 400.
        ({"depreciation-years": 20, "depreciation-years-items": 8, "depreciation-years-of-power-pack": 6}, 400.00,
         "depreciation-years-of-power-pack", "category Power pack"),
        # Its own percentage, where the club has lines for the rest: 1200 * 0.7 = 840, 588, 411.60, 288.12.
        ({"depreciation-years": 20, "depreciation-percent-of-power-pack": 30}, 288.12,
         "depreciation-percent-of-power-pack", "category Power pack"),
        # ... and no less than a quarter of 1200.
        ({"depreciation-percent-of-power-pack": 30, "depreciation-floor-percent": 25}, 300.00,
         "depreciation-percent-of-power-pack", "category Power pack"),
        # Another category's rule is not its own: 1200 * (1 - 4 / 8).
        ({"depreciation-years": 20, "depreciation-years-items": 8, "depreciation-years-of-finder": 6}, 600.00,
         "depreciation-years-items", "items"),
        # ... and without one for the kind the rule for all: 1200 * (1 - 4 / 20).
        ({"depreciation-years": 20, "depreciation-years-mounts": 8}, 960.00, "depreciation-years", None),
    ],
)  # fmt: skip
def test_a_categorys_own_rule_goes_before_the_kinds(
    own: dict[str, float], value: float, name: str, items: str | None
) -> None:
    rule = depreciation_of(Rules(own), "item", "Power pack")
    assert rule is not None
    found = rule.of(1200.0, BOUGHT, date(2024, 3, 1))
    assert found is not None
    assert (found.value, found.rule_name, found.rule_for) == (value, name, items)


def test_whether_the_club_writes_anything_down() -> None:
    assert not depreciates(Rules({"depreciation-floor-percent": 10}))
    assert depreciates(Rules({"depreciation-years-tubes": 10}))
    assert depreciates(Rules({"depreciation-percent-of-finder": 10}))


def test_without_a_rule_nothing_is_written_down() -> None:
    assert depreciation_of(Rules({}), "mount") is None
    assert depreciation_of(Rules({"depreciation-floor-percent": 10}), "tube") is None
    assert depreciation_of(Rules({"depreciation-years-mounts": 5}), "tube") is None


def test_what_is_not_known_is_not_worked_out() -> None:
    rule = depreciation_of(Rules({"depreciation-years": 10}), "tube")
    assert rule is not None
    on = date(2024, 3, 1)
    assert rule.of(None, BOUGHT, on) is None
    assert rule.of(10.0, None, on) is None
    assert rule.of(10.0, date(2024, 3, 2), on) is None
    free = rule.of(0.0, BOUGHT, on)
    assert free is not None
    assert free.value == 0  # known to have cost nothing


def test_two_ways_for_one_item_are_refused() -> None:
    with pytest.raises(TwoWays, match="both rules"):
        depreciation_of(Rules({"depreciation-years": 10, "depreciation-percent": 20}), "tube")
    both = Rules({"depreciation-years-of-finder": 10, "depreciation-percent-of-finder": 20})
    with pytest.raises(TwoWays, match="depreciation-years-of-finder or by depreciation-percent-of-finder"):
        depreciation_of(both, "item", "finder")


@pytest.mark.parametrize(
    ("from_on", "on", "age"),
    [
        (date(2020, 3, 1), date(2020, 3, 1), 0),
        (date(2020, 3, 1), date(2023, 3, 1), 3),
        (date(2020, 3, 1), date(2023, 2, 28), 2 + 364 / 365),
        (date(2020, 2, 29), date(2021, 2, 28), 1),  # where there is no 29th, its anniversary is the last day
        (date(2020, 2, 29), date(2024, 2, 28), 3 + 365 / 366),
        (date(2020, 2, 29), date(2024, 2, 29), 4),
        (date(2023, 7, 1), date(2024, 1, 1), 184 / 366),
    ],
)
def test_an_age_is_in_whole_years_and_the_part_of_the_one_that_runs(
    from_on: date, on: date, age: float
) -> None:
    assert_allclose(age_years(from_on, on), age, rtol=1e-12)
