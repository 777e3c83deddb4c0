"""The fleet over the years: a point for each year that has landings, hollow where the year is not over."""

from datetime import date

from obslog.club.overviews.club_facts import FleetYear
from obslog.report.overviews.years_picture import years_picture
from obslog.values import Interval
from tests.report.pictures.drawn_on import figure_of, texts_of, xs, ys


def year(number: int, half: Interval | None) -> FleetYear:
    return FleetYear(year=number, nights=7, setups=9, landed=half.count if half else 0, half_arcmin=half)


YEARS = [
    year(2024, Interval(17.0, 9.5, 30.0, 13)),
    year(2025, None),
    year(2026, Interval(15.2, None, None, 1)),
]
TODAY = date(2026, 11, 28)


def test_the_table_has_every_year_and_the_picture_those_with_landings() -> None:
    picture = years_picture(YEARS, TODAY)
    assert picture.rows == (
        ("2024", "7", "9", "13", "17.0'", "9.5'", "30.0'"),
        ("2025", "7", "9", "0", "", "", ""),
        ("2026 so far", "7", "9", "1", "15.2'", "", ""),
    )
    points = [line for line in figure_of(picture).axes[0].lines if line.get_marker() == "o"]
    assert [(xs(line), ys(line)) for line in points] == [([2024.0], [17.0]), ([2026.0], [15.2])]
    assert points[0].get_markerfacecolor() != points[1].get_markerfacecolor()


def test_beside_each_year_stands_of_how_many_set_ups_its_mean_is() -> None:
    assert {"17'\nof 13", "15'\nof 1"} <= set(texts_of(figure_of(years_picture(YEARS, TODAY))))


def test_a_year_of_one_set_up_is_not_bounded_on_either_side() -> None:
    axes = figure_of(years_picture(YEARS, TODAY)).axes[0]
    bottom, top = axes.get_ylim()
    heads = [
        (line.get_marker(), xs(line), ys(line)) for line in axes.lines if line.get_marker() in ("v", "^")
    ]
    assert heads == [("v", [2026.0], [bottom]), ("^", [2026.0], [top])]


def test_it_says_the_first_the_last_and_what_is_not_over() -> None:
    assert years_picture(YEARS, TODAY).description == (
        "2 years with landings. 2024: 17' (9.5' to 30'); 2026: 15'. The year 2026 is not over yet."
    )


def test_no_landing_is_said_to_be_none() -> None:
    picture = years_picture([YEARS[1]], TODAY)
    assert picture.description == "No landing is on record."
    assert "nothing on record yet" in texts_of(figure_of(picture))
