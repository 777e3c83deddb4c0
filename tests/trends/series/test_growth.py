"""What a slope comes to: of a year, and of what was seen where that was less than half a year."""

from math import inf, log

import pytest

from obslog.trends.series.growth import grown, growth_words
from obslog.values import Interval

DOUBLING = Interval(log(2), log(1.5), log(4), 9)


@pytest.mark.parametrize("years", [181 / 365.25, 0.5, 2.0])
def test_a_slope_seen_over_half_a_year_is_told_of_a_year(years: float) -> None:
    assert growth_words(DOUBLING, years) == "a factor of 2.00 a year (95 % interval 1.50 to 4.00)"
    assert growth_words(Interval(1.5, -0.25, 3.0, 9), years, "arcmin") == (
        "+1.50 arcmin a year (95 % interval -0.25 to +3.00)"
    )


def test_one_seen_over_less_is_told_of_the_days_that_it_was_seen() -> None:
    """A quarter of a year is 91.3 days; the fourth roots of 2, 1.5 and 4 are 1.189, 1.107 and 1.414."""
    assert growth_words(DOUBLING, 0.25) == "a factor of 1.19 in 91 days (95 % interval 1.11 to 1.41)"
    assert growth_words(Interval(4.0, -0.4, 8.0, 9), 0.25, "arcmin") == (
        "+1.00 arcmin in 91 days (95 % interval -0.10 to +2.00)"
    )
    assert grown(DOUBLING, 1 / 365.25).time == "in 1 day"
    assert grown(DOUBLING, 180 / 365.25).days == 180


def test_an_open_end_stays_open() -> None:
    told = grown(Interval(log(2), None, log(4), 9), 0.25)
    assert (told.change.low, told.extent) == (None, inf)
    assert told.factor.high == pytest.approx(4**0.25)


def test_the_extent_is_the_ratio_of_the_ends() -> None:
    assert grown(DOUBLING, 1.0).extent == pytest.approx(4 / 1.5)
    assert grown(DOUBLING, 0.25).extent == pytest.approx((4 / 1.5) ** 0.25)
