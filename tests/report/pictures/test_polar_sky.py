"""Axes beside the pole: what the words say, what the table holds, and where the dots stand."""

import re
from datetime import date
from xml.etree import ElementTree

import numpy as np
import pytest

from obslog.club.pages.axes_on_sky import AxisOnSky
from obslog.report.pictures.drawing import inline_svg
from obslog.report.pictures.ink import LIGHT
from obslog.report.pictures.polar_sky import axes_picture
from obslog.vocabulary.mounts import MountType
from tests.club.pages.axes import axis
from tests.report.pictures.drawn_on import figure_of, xs

NEAR = axis(date(2026, 1, 10), 3.0, 4.0)
FAR = axis(date(2026, 2, 10), -12.0, 16.0)
AWAY = axis(date(2026, 3, 10), 300.0, 400.0)
UNKNOWN = axis(date(2026, 4, 10), 1.0, 1.0, determined=False)


def svg_of(axes: list[AxisOnSky], mount_type: MountType = MountType.GERMAN) -> str:
    return inline_svg(axes_picture("Heron", mount_type, axes))


def texts(svg: str) -> list[str]:
    found = ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")
    return [element.text or "" for element in found]


def test_the_words_say_how_many_stand_inside_the_rings() -> None:
    """Separations 5', 20' and 500': one inside 10', two inside 30'; the middle one is 20'."""
    said = axes_picture("Heron", MountType.GERMAN, [NEAR, FAR, AWAY, UNKNOWN]).description
    assert said == (
        "3 set-ups of 4 tell where the axis pointed. Half of them within 20' of the pole; 1 within 10', 2 within 30'. "
        "The newest, on 2026-03-10: 500' ± 2' from the pole."
    )


def test_the_table_holds_every_set_up_and_says_what_is_not_determined() -> None:
    rows = axes_picture("Heron", MountType.GERMAN, [NEAR, UNKNOWN]).rows
    assert rows[0] == ("2026-01-10", "1", "Ines", "+3' ± 2'", "+4' ± 2'", "5' ± 2'")
    assert rows[1][3:] == ("not determined",) * 3


@pytest.mark.parametrize("axes", [[], [UNKNOWN], [NEAR], [NEAR, FAR, AWAY, UNKNOWN]])
@pytest.mark.parametrize("mount_type", MountType)
def test_it_is_drawn_however_little_is_known(axes: list[AxisOnSky], mount_type: MountType) -> None:
    found = texts(svg_of(axes, mount_type))
    assert ("nothing on record yet" in found) == (not axes)
    assert ("no axis is determined yet" in found) == (axes == [UNKNOWN])


def test_what_lies_beyond_the_frame_is_told_with_its_distance() -> None:
    assert "500'" in texts(svg_of([NEAR, AWAY, FAR]))
    assert "500'" not in texts(svg_of([NEAR, FAR]))


def middle_of(svg: str, word: str) -> float:
    """Where the middle of a word at the edge stands from left to right."""
    found = re.search(rf'transform="[^"]*translate\(([\d.]+) [\d.]+\)[^"]*"[^>]*>{word}<', svg)
    assert found is not None, svg
    return float(found[1])


def test_east_is_to_the_left_of_who_looks_south() -> None:
    north, south = svg_of([NEAR]), svg_of([axis(date(2026, 1, 10), 3.0, 4.0, facing_south=True)])
    assert middle_of(north, "too far east") > middle_of(north, "too far west")
    assert middle_of(south, "too far east") < middle_of(south, "too far west")


@pytest.mark.parametrize("known", [[NEAR], [FAR, NEAR]])
def test_the_date_of_the_newest_stands_outside_the_frame(known: list[AxisOnSky]) -> None:
    figure = figure_of(axes_picture("Heron", MountType.GERMAN, known))
    (chart,) = figure.axes
    figure.draw_without_rendering()
    (newest,) = [text for text in chart.texts if text.get_text() == "newest: 2026-01-10"]
    assert not newest.get_window_extent().overlaps(chart.get_window_extent())


def test_crosses_are_seen_on_paper_and_no_word_lies_over_them() -> None:
    (chart,) = figure_of(axes_picture("Heron", MountType.GERMAN, [FAR, NEAR])).axes
    crosses = [line for line in chart.lines if np.isnan(xs(line)).any()]
    assert {line.get_color() for line in crosses} == {LIGHT.first}
    rings = [text for text in chart.texts if text.get_text() in ("10'", "30'")]
    assert max(text.get_zorder() for text in rings) < min(line.get_zorder() for line in crosses)


def test_a_base_leans_where_a_polar_axis_is_too_high() -> None:
    assert {"leans north", "leans east"} <= set(texts(svg_of([NEAR], MountType.ALTAZ)))
