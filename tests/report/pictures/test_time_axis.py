"""An axis of days: every day has its place, however few or many there are."""

from datetime import date, timedelta

import pytest
from matplotlib.dates import date2num
from matplotlib.figure import Figure

from obslog.report.pictures.time_axis import MOST_LABELS, day_number, over_days

FIRST = date(2026, 3, 1)


@pytest.mark.parametrize("day", [date(1969, 12, 31), date(1970, 1, 1), FIRST, date(2096, 2, 29)])
def test_days_are_counted_as_matplotlib_counts_them(day: date) -> None:
    assert day_number(day) == date2num(day)


@pytest.mark.parametrize("length", [0, 1, 20, 400, 7300])
def test_every_day_is_inside_and_labels_are_few(length: int) -> None:
    axes = Figure().add_subplot()
    days = [FIRST, FIRST + timedelta(days=length)]
    over_days(axes, days)
    low, high = axes.get_xlim()
    assert all(low < day_number(day) < high for day in days)
    assert 1 <= len(axes.get_xticks()) <= MOST_LABELS + 1


@pytest.mark.parametrize("length", [10, 30, 45, 70])
def test_days_of_a_short_axis_say_their_month_and_the_year_stands_beside_them(length: int) -> None:
    figure = Figure()
    axes = figure.add_subplot()
    over_days(axes, [date(2025, 10, 20), date(2025, 10, 20) + timedelta(days=length)])
    figure.draw_without_rendering()
    labels = [tick.get_text() for tick in axes.get_xticklabels()]
    assert len(labels) >= 2
    assert all(any(letter.isalpha() for letter in words) or words.startswith("20") for words in labels)
    assert axes.xaxis.get_offset_text().get_text() in ("2025", "2026", "")


def test_without_days_there_are_no_labels() -> None:
    axes = Figure().add_subplot()
    over_days(axes, [])
    assert not len(axes.get_xticks())
