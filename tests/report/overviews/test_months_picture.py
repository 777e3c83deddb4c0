"""Nights by month as bars: one for each month, as high as its nights."""

from datetime import date

from matplotlib.patches import Rectangle

from obslog.club.overviews.months import MonthCount
from obslog.report.overviews.months_picture import months_picture
from obslog.report.pictures.ink import LIGHT
from tests.report.pictures.drawn_on import figure_of, texts_of

MONTHS = [
    MonthCount(date(2025, 12, 1), 2),
    MonthCount(date(2026, 1, 1), 0),
    MonthCount(date(2026, 2, 1), 5),
]


def bars(months: list[MonthCount], newer: date | None = None) -> list[Rectangle]:
    axes = figure_of(months_picture("Nights", months, newer)).axes[0]
    return [one for one in axes.patches if isinstance(one, Rectangle)]


def test_bars_are_as_high_as_the_table_says() -> None:
    picture = months_picture("Nights", MONTHS)
    assert picture.rows == (("2025-12", "2"), ("2026-01", "0"), ("2026-02", "5"))
    assert [one.get_height() for one in bars(MONTHS)] == [2, 5]


def test_the_nights_before_are_paler_also_within_a_month() -> None:
    from matplotlib.colors import to_hex

    shared = [MonthCount(date(2025, 12, 1), 2, older=2), MonthCount(date(2026, 1, 1), 5, older=4)]
    drawn = [
        (one.get_y(), one.get_y() + one.get_height(), to_hex(one.get_facecolor()))
        for one in bars(shared, date(2026, 1, 30))
    ]
    assert drawn == [(0, 2, LIGHT.shade), (0, 4, LIGHT.shade), (4, 5, LIGHT.first)]


def test_a_single_month_leaves_room_for_others() -> None:
    axes = figure_of(months_picture("Nights", MONTHS[-1:])).axes[0]
    first, last = axes.get_xlim()
    assert last - first > 180


def test_it_says_how_many_when_most_and_how_often_none() -> None:
    assert months_picture("Nights", MONTHS).description == (
        "7 nights in 3 months; the most in 2026-02: 5. 1 month without any."
    )


def test_no_nights_at_all_are_said_to_be_none() -> None:
    picture = months_picture("Nights", [])
    assert picture.description == "No night is on record."
    assert "nothing on record yet" in texts_of(figure_of(picture))
