"""The pole star in three views: where the star is drawn against the directions handed in."""

from dataclasses import replace
from math import cos, radians, sin
from typing import Any
from xml.etree import ElementTree

import pytest
from matplotlib.figure import Figure

from obslog.report.pictures.drawing import inline_svg
from obslog.report.sky_pictures.pole_views import dial_place, pole_picture
from tests.cli.checklist.briefings import POLE
from tests.cli.sky.test_sky_shown import THERE
from tests.report.pictures.drawn_on import figure_of, texts_of, xs, ys


def stars(figure: Figure) -> list[tuple[float, float]]:
    return [
        (xs(line)[0], ys(line)[0]) for axes in figure.axes for line in axes.lines if line.get_marker() == "*"
    ]


def about(place: tuple[float, float]) -> Any:
    return pytest.approx(place, abs=1e-12)


def test_twelve_is_up_three_is_right_as_on_a_clock() -> None:
    assert dial_place(12) == about((0, 1))
    assert dial_place(3) == about((1, 0))
    assert dial_place(6) == about((0, -1))
    assert dial_place(9) == about((-1, 0))


def test_the_star_stands_where_each_view_has_it() -> None:
    """0.9 h by eye are 27° clockwise of straight up; a straight scope turns that over, a right-angle swaps sides."""
    x, y = sin(radians(27)), cos(radians(27))
    by_eye, inverted, mirrored = stars(figure_of(pole_picture(POLE, THERE)))
    assert by_eye == about((x, y))
    assert inverted == about((-x, -y))
    assert mirrored == about((-x, y))


def test_each_view_is_named_and_told_in_words() -> None:
    written = texts_of(figure_of(pole_picture(POLE, THERE)))
    assert {"by eye", "straight polar scope", "right-angle polar scope"} <= set(written)
    assert "27° clockwise\nof straight up,\nnear 1 o'clock" in written
    assert any(text.startswith("37.4' from the pole") for text in written)


def test_it_says_in_words_and_rows_what_is_drawn() -> None:
    found = pole_picture(POLE, THERE)
    assert found.title == "Polaris about the pole at Mill Field, 2026-03-02 21:00"
    assert found.description == (
        "Polaris is 37.4' from the pole. by eye: 27° clockwise of straight up, near 1 o'clock; straight polar scope: "
        "153° anticlockwise of straight up, near 7 o'clock; right-angle polar scope: 27° anticlockwise of straight up, "
        "near 11 o'clock."
    )
    assert found.rows[0] == ("by eye", "27° clockwise of straight up, near 1 o'clock", "0.90 h")


def test_a_star_too_low_to_set_by_is_said_so() -> None:
    low = replace(POLE, alt_deg=2.5)
    assert "2.5° up: too low to set the axis by" in texts_of(figure_of(pole_picture(low, THERE)))
    assert "too low to set the axis by" in pole_picture(low, THERE).description


@pytest.mark.parametrize("star", ["Polaris", '<script>"&' + "x" * 10_000])
def test_it_is_drawn_whatever_there_is(star: str) -> None:
    view = replace(THERE, site=star)
    ElementTree.fromstring(inline_svg(pole_picture(replace(POLE, star=star, alt_deg=-3.0), view)))
