"""Nights by month: every month is there, and only the nights between the ends count."""

from datetime import date

from obslog.club.overviews.months import MonthCount, by_month

NIGHTS = [date(2025, 11, 27), date(2025, 11, 28), date(2025, 11, 30), date(2026, 2, 1), date(2026, 2, 1)]


def test_months_without_a_night_are_counted_too() -> None:
    assert by_month(NIGHTS, date(2025, 11, 28), date(2026, 2, 1)) == [
        MonthCount(date(2025, 11, 1), 2),
        MonthCount(date(2025, 12, 1), 0),
        MonthCount(date(2026, 1, 1), 0),
        MonthCount(date(2026, 2, 1), 2),
    ]


def test_the_month_that_two_periods_share_counts_the_nights_of_each() -> None:
    assert by_month(NIGHTS, date(2025, 11, 1), date(2025, 12, 31), newer=date(2025, 11, 28)) == [
        MonthCount(date(2025, 11, 1), 3, older=1),
        MonthCount(date(2025, 12, 1), 0),
    ]
