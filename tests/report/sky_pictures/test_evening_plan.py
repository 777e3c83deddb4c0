"""The evening on a time line: bars, turns, meridian and sides against a plan made by hand."""

from typing import Any
from xml.etree import ElementTree

import pytest
from matplotlib.figure import Figure

from obslog.club.targets.planned_targets import MoonTonight, PlannedTarget, TargetPlan, UpTime
from obslog.report.pictures.drawing import inline_svg
from obslog.report.pictures.ink import LIGHT
from obslog.report.pictures.picture import Picture
from obslog.report.sky_pictures.evening_plan import evening_picture
from obslog.report.sky_pictures.hours_axis import hour_number
from obslog.vocabulary.mounts import PierSide
from tests.cli.checklist.briefings import ZONE, at
from tests.cli.targets.test_targets_shown import a_plan, a_target
from tests.report.pictures.drawn_on import figure_of, texts_of, xs


def picture_of(plan: TargetPlan) -> Picture:
    return evening_picture(plan, ZONE, minutes_each=12)


def bars(figure: Figure, colour: str) -> list[tuple[float, float]]:
    """From when until when the bars of a colour reach, from above."""
    from matplotlib.colors import to_rgba

    found: list[Any] = [bar for bar in figure.axes[0].patches if bar.get_facecolor() == to_rgba(colour)]
    return [(bar.get_x(), bar.get_x() + bar.get_width()) for bar in found]


def test_bars_are_the_times_when_each_is_high_enough_and_blocks_are_the_turns() -> None:
    """A target n begins at 21:30 + n minutes, and is high enough from 20:00 until 02:10 + n minutes."""
    figure = figure_of(picture_of(a_plan(a_target(1), a_target(2))))
    assert bars(figure, LIGHT.shade) == [
        pytest.approx((hour_number(at(20, 0)), hour_number(at(2, 10 + n, 3)))) for n in (1, 2)
    ]
    assert bars(figure, LIGHT.first) == [
        pytest.approx((hour_number(at(21, 30 + n)), hour_number(at(21, 42 + n)))) for n in (1, 2)
    ]


def test_what_stands_behind_the_bars_is_explained() -> None:
    (axes,) = figure_of(picture_of(a_plan(a_target(1)))).axes
    assert axes.get_xlabel().endswith("\nbehind it: how high it stands at its turn")


def test_bars_have_an_edge_that_is_seen_on_paper() -> None:
    from matplotlib.colors import to_rgba

    (axes,) = figure_of(picture_of(a_plan(a_target(1)))).axes
    (bar,) = [one for one in axes.patches if one.get_facecolor() == to_rgba(LIGHT.shade)]
    assert bar.get_edgecolor() == to_rgba(LIGHT.first)
    assert bar.get_linewidth() > 0


def test_the_axis_is_the_dark_planned_for_and_the_meridian_a_tick() -> None:
    figure = figure_of(picture_of(a_plan(a_target(1))))
    axes = figure.axes[0]
    assert axes.get_xlim() == (hour_number(at(20, 6)), hour_number(at(4, 17, 3)))
    (tick,) = [line for line in axes.lines if line.get_color() == LIGHT.soft]
    assert xs(tick) == [hour_number(at(23, 0))] * 2


def test_it_says_from_when_it_plans_and_until_when_it_is_dark() -> None:
    """It begins at the time asked for, which may be long after dark."""
    assert {"planned from 20:06", "dark until 04:17"} <= set(
        texts_of(figure_of(picture_of(a_plan(a_target(1)))))
    )


def test_no_tick_where_the_meridian_is_passed_outside_its_time() -> None:
    late: PlannedTarget = a_target(1, transit_utc=at(5, 0, 3))
    assert [
        one for one in figure_of(picture_of(a_plan(late))).axes[0].lines if one.get_color() == LIGHT.soft
    ] == []


def test_the_moon_is_above_all_targets_as_long_as_it_is_up() -> None:
    moon = MoonTonight("waning crescent", 0.153, (UpTime(at(2, 0, 3), at(4, 17, 3)),))
    figure = figure_of(picture_of(a_plan(a_target(1), moon=moon)))
    assert bars(figure, LIGHT.second) == [
        pytest.approx((hour_number(at(2, 0, 3)), hour_number(at(4, 17, 3))))
    ]
    assert [tick.get_text() for tick in figure.axes[0].get_yticklabels()] == ["Moon, 15 %", "M 1, cluster"]


@pytest.mark.parametrize("before", [PierSide.EAST, None])
def test_a_change_of_side_is_a_line_between_two_targets(before: PierSide | None) -> None:
    sides = [PierSide.EAST, before, PierSide.WEST]
    plan = a_plan(
        *(a_target(n, pier_side=side) for n, side in enumerate(sides, start=1)), mount="Heron", flips=1
    )
    figure = figure_of(picture_of(plan))
    (line,) = [one for one in figure.axes[0].lines if one.get_color() == LIGHT.warning]
    assert list(line.get_ydata()) == [2.5, 2.5]  # type: ignore[arg-type]
    assert "flip: tube west" in texts_of(figure)
    assert "1 change of side." in picture_of(plan).description


def test_it_says_in_words_and_rows_what_is_drawn() -> None:
    found = picture_of(a_plan(a_target(1)))
    assert found.description == (
        "Planned in the dark from 20:06 to 04:17. Moon 15 % lit, down. 21:31 M 1, cluster, 51° up."
    )
    assert found.rows == (("21:31", "M 1, cluster", "51°", "20:00", "02:11", "23:00", "easily"),)


def test_of_no_targets_it_says_so() -> None:
    assert picture_of(a_plan()).description.endswith("No target is left.")


@pytest.mark.parametrize("title", ["M 1", '<script>"&' + "x" * 10_000, "\u202egniw"])
@pytest.mark.parametrize("count", [0, 1, 40])
def test_it_is_drawn_whatever_there_is(title: str, count: int) -> None:
    plan = a_plan(*[a_target(1, title=title)] * count, site=title)
    ElementTree.fromstring(inline_svg(picture_of(plan)))
