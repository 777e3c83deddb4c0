"""Mounts beside the first, and one mount on two sides: what is drawn of comparisons made by hand."""

from datetime import date
from xml.etree import ElementTree

import pytest

from obslog.club.landing.before_and_after import Side, TwoSidesOfAMount
from obslog.club.landing.beside_the_first import MountBeside
from obslog.report.pictures.compared import beside_picture, sides_picture
from obslog.report.pictures.drawing import inline_svg
from obslog.report.pictures.ink import LIGHT
from obslog.values import Interval
from tests.report.pictures.drawn_on import figure_of, texts_of, xs
from tests.report.pictures.test_landings import history_of, setup_of


def mount_of(name: str, ratio: Interval | None) -> MountBeside:
    history = history_of([setup_of(date(2026, 1, 10), Interval(12.0, 9.0, 17.0, 6))], mount=name)
    return MountBeside(history, ratio)


HERON = mount_of("Heron", None)
KELP = mount_of("Kelp", Interval(0.5, 0.25, 0.9, 12))
ANVIL = mount_of("Anvil", Interval(2.0, 1.5, 4.0, 12))
SIDES = TwoSidesOfAMount(
    mount="Heron",
    sides=(
        Side("before 2026-03-01", Interval(20.0, 16.0, 25.0, 9)),
        Side("since 2026-03-01", Interval(10.0, 8.0, 13.0, 9)),
    ),
    ratio=Interval(0.5, 0.4, 0.7, 18),
    as_seen=0.5,
    decided=True,
    more_nights=None,
    differs=[],
    words=["Half of Heron's go-tos land within 10' since 2026-03-01, within 20' before 2026-03-01: better."],
)


def test_ratios_stand_on_a_logarithmic_axis_with_one_for_the_first_mount() -> None:
    (axes,) = figure_of(beside_picture([HERON, KELP, ANVIL])).axes
    assert axes.get_xscale() == "log"
    assert "logarithmic" in axes.get_xlabel()
    marks = [(line.get_marker(), xs(line)[0]) for line in axes.lines if line.get_marker() in ("o", "D")]
    assert marks == [("o", 0.5), ("D", 2.0)]
    assert [xs(line) for line in axes.lines if line.get_color() == LIGHT.soft] == [[1.0, 1.0]]


def test_the_first_mount_and_one_without_a_ratio_say_so() -> None:
    written = texts_of(figure_of(beside_picture([HERON, KELP, mount_of("New one", None)])))
    assert {"Heron", "Kelp", "the first", "0.50 (0.25 to 0.90)", "not determined yet"} <= set(written)


def test_it_says_in_words_and_rows_what_is_drawn() -> None:
    found = beside_picture([HERON, KELP])
    assert found.description == (
        "Heron is the first. Kelp lands 0.50 (95 % interval 0.25 to 0.90) times as far off as Heron."
    )
    assert found.rows == (("Heron", "", "", ""), ("Kelp", "0.50", "0.25", "0.90"))


def test_two_sides_have_their_radii_from_zero_and_their_ratio_below() -> None:
    radii, ratio = figure_of(sides_picture(SIDES)).axes
    assert [xs(line)[0] for line in radii.lines if line.get_marker() == "o"] == [20.0, 10.0]
    assert radii.get_xlim()[0] == 0
    assert [xs(line)[0] for line in ratio.lines if line.get_marker() == "o"] == [0.5]
    assert ratio.get_xscale() == "log"
    assert sides_picture(SIDES).description == SIDES.words[0]
    assert sides_picture(SIDES).rows[-1] == ("ratio", "0.50", "0.40", "0.70")


@pytest.mark.parametrize("name", ["Heron", '<script>"&' + "x" * 10_000, "\u202egniw"])
@pytest.mark.parametrize("others", [0, 1, 40])
def test_it_is_drawn_whatever_there_is(name: str, others: int) -> None:
    ratio = Interval(1.2, None, 5.0, 3)
    found = [mount_of(name, None), *[mount_of(name, ratio)] * others]
    ElementTree.fromstring(inline_svg(beside_picture(found)))


def test_of_no_mounts_it_says_so() -> None:
    assert "nothing on record yet" in texts_of(figure_of(beside_picture([])))
