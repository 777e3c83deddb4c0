"""The error budget as a picture: bars, intervals and words of a budget made by hand."""

from dataclasses import replace
from datetime import date
from xml.etree import ElementTree

import pytest

from obslog.club.landing.error_budget import FEW_SETUPS, CauseLine, MountBudget
from obslog.report.pictures.budget_bars import budget_picture
from obslog.report.pictures.drawing import inline_svg
from obslog.report.pictures.ink import LIGHT
from obslog.values import Interval
from tests.report.pictures.drawn_on import figure_of, texts_of, xs


def cause_of(name: str, adds: float, share: float, without: float) -> CauseLine:
    return CauseLine(
        cause=name,
        adds_arcmin=Interval(adds, adds - 1, adds + 2, 40),
        share=share,
        half_without_arcmin=Interval(without, without - 3, None, 40),
        remedy="mend it",
    )


def budget_of(causes: list[CauseLine], mount: str = "Heron", setups: int = 9) -> MountBudget:
    return MountBudget(
        mount=mount,
        tube="Long tube",
        since=date(2026, 1, 5),
        setups=setups,
        go_tos=40,
        half_arcmin=Interval(20.0, 16.0, 25.0, 40),
        rms_arcmin=10.0,
        causes=causes,
        words=[],
    )


CONE = cause_of("cone error", 8.0, 0.64, 12.0)
SAG = cause_of("sag", 6.0, 0.36, 19.5)


def test_bars_are_as_long_as_what_the_causes_add_and_carry_their_intervals() -> None:
    left, right = figure_of(budget_picture(budget_of([CONE, SAG]))).axes
    assert [bar.get_width() for bar in left.patches] == [8.0, 6.0]  # type: ignore[attr-defined]
    whiskers = [xs(line) for line in left.lines]
    assert whiskers == [[7.0, 10.0], [5.0, 8.0]]
    dots = [xs(line)[0] for line in right.lines if line.get_marker() in ("o", "D")]
    assert dots == [12.0, 19.5]
    assert left.get_xlim()[0] == 0
    assert right.get_xlim()[0] == 0
    assert left.get_ylim() == right.get_ylim(), "the rows of both halves are the same"


def test_a_cause_worth_mending_stands_out_by_colour_and_by_shape() -> None:
    right = figure_of(budget_picture(budget_of([CONE, SAG]))).axes[1]
    marks = [(line.get_marker(), line.get_color()) for line in right.lines if line.get_marker() in ("o", "D")]
    assert marks == [("D", LIGHT.warning), ("o", LIGHT.first)]


def test_what_a_red_diamond_is_stands_below_whole() -> None:
    figure = figure_of(budget_picture(budget_of([CONE, SAG])))
    figure.draw_without_rendering()
    told = figure.axes[1].xaxis.label
    assert told.get_text().endswith("\nred diamond: worth mending")
    words, paper = told.get_window_extent(), figure.bbox
    assert (words.x1 <= paper.x1, words.y0 >= paper.y0) == (True, True)


def test_nothing_stands_out_that_is_not_told_to_be_worth_mending() -> None:
    """Of few set-ups nothing can be told; and a cause that may add nothing may gain nothing."""
    unsure = replace(CONE, adds_arcmin=Interval(8.0, -1.0, 11.0, 40))
    for found in (budget_of([CONE], setups=FEW_SETUPS - 1), budget_of([unsure])):
        left, right = figure_of(budget_picture(found)).axes
        assert LIGHT.warning not in [line.get_color() for line in (*left.lines, *right.lines)]
        assert "D" not in [line.get_marker() for line in right.lines]


def test_it_says_in_words_what_is_drawn() -> None:
    found = budget_picture(budget_of([CONE, SAG]))
    assert found.description == (
        "40 go-tos in 9 set-ups: half of them land within 20' (16' to 25'). "
        "cone error: 8.0' added, 64 % of the square; without it half would land within 12'. "
        "sag: 6.0' added, 36 % of the square; without it half would land within 20'."
    )
    assert found.rows[0] == ("cone error", "8.0'", "7.0'", "10.0'", "64 %", "12.0'", "9.0'", "")
    written = texts_of(figure_of(found))
    assert {"cone error", "sag", "64 %", "36 %", "with all 20'"} <= set(written)


@pytest.mark.parametrize("mount", ["Heron", '<script>"&' + "x" * 10_000, "\u202egniw"])
@pytest.mark.parametrize("causes", [[], [CONE], [CONE] * 14])
def test_it_is_drawn_whatever_there_is(mount: str, causes: list[CauseLine]) -> None:
    ElementTree.fromstring(inline_svg(budget_picture(budget_of(causes, mount))))
