"""The picture of losses: a point for each stocktake on its day, with the ends of its interval."""

from datetime import date

from obslog.club.shelves.losses import FinishedCount
from obslog.report.overviews.losses_picture import losses_picture
from obslog.report.pictures.time_axis import day_number
from tests.report.pictures.drawn_on import figure_of, texts_of, xs, ys

DAYS = (date(2025, 3, 1), date(2026, 3, 2))


def a_count(day: date, not_found: int, expected: int, low: float | None, high: float | None) -> FinishedCount:
    return FinishedCount(
        finished_on=day, member=None, expected=expected, not_found=not_found,
        percent=100 * not_found / expected if expected else None, low=low, high=high, items=[], unnamed=0,
    )  # fmt: skip


COUNTS = [a_count(DAYS[0], 3, 40, 2.6, 19.9), a_count(DAYS[1], 1, 50, 0.4, 10.5)]


def test_each_stocktake_has_its_point_its_interval_and_its_row() -> None:
    picture = losses_picture(COUNTS, "No sure change.")
    assert picture.rows == (
        ("2025-03-01", "40", "3", "7.5 %", "2.6 %", "19.9 %"),
        ("2026-03-02", "50", "1", "2.0 %", "0.4 %", "10.5 %"),
    )
    assert picture.description == "2 finished stocktakes. No sure change."
    figure = figure_of(picture)
    points = [line for line in figure.axes[0].lines if line.get_marker() == "o"]
    ends = [line for line in figure.axes[0].lines if line.get_marker() != "o"]
    assert [(xs(line), ys(line)) for line in points] == [
        ([day_number(DAYS[0])], [7.5]),
        ([day_number(DAYS[1])], [2.0]),
    ]
    assert [ys(line) for line in ends] == [[2.6, 19.9], [0.4, 10.5]]
    assert {"3 of 40", "1 of 50"} <= set(texts_of(figure))


def test_the_axis_begins_at_zero_and_the_dot_that_stands_there_is_whole() -> None:
    axes = figure_of(losses_picture([a_count(DAYS[0], 0, 40, 0.0, 7.0)], "")).axes[0]
    assert axes.get_ylim()[0] == 0
    (dot,) = [line for line in axes.lines if line.get_marker() == "o"]
    assert not dot.get_clip_on()


def test_of_nothing_it_says_so() -> None:
    for counts in ([], [a_count(DAYS[0], 0, 0, None, None)]):
        assert "nothing on record yet" in texts_of(figure_of(losses_picture(counts, "")))
