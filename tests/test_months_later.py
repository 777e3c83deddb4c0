"""A day so many months later: by hand, and against the library that calendars use."""

from datetime import date

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from obslog.times import months_later


@pytest.mark.parametrize(
    ("day", "months", "later"),
    [
        (date(2026, 1, 31), 1, date(2026, 2, 28)),  # a shorter month: its last day
        (date(2028, 1, 31), 1, date(2028, 2, 29)),  # in a leap year
        (date(2026, 3, 31), 1, date(2026, 4, 30)),
        (date(2028, 2, 29), 12, date(2029, 2, 28)),
        (date(2028, 2, 29), 48, date(2032, 2, 29)),
        (date(2026, 12, 15), 1, date(2027, 1, 15)),  # over the turn of the year
        (date(2026, 12, 31), 12, date(2027, 12, 31)),
        (date(2026, 8, 31), 6, date(2027, 2, 28)),
        (date(2026, 1, 28), 1, date(2026, 2, 28)),
    ],
)
def test_months_by_hand(day: date, months: int, later: date) -> None:
    assert months_later(day, months) == later


@given(day=st.dates(date(1990, 1, 1), date(2100, 12, 31)), months=st.integers(1, 240))
def test_months_agree_with_dateutil(day: date, months: int) -> None:
    """Source: python-dateutil, relativedelta: a day that the month does not have becomes its last."""
    assert months_later(day, months) == day + relativedelta(months=months)
