"""Snags step by step: what the words and the table say."""

from datetime import date
from typing import Any
from xml.etree import ElementTree

import pytest
from matplotlib.colors import to_hex

from obslog.club.pages.step_snags import StepSnags
from obslog.report.pictures.drawing import inline_svg
from obslog.report.pictures.ink import LIGHT
from obslog.report.pictures.snag_steps import snags_picture
from obslog.vocabulary.steps import Step
from tests.report.pictures.drawn_on import figure_of


def snags_at(step: Step, count: int, not_mended: int) -> StepSnags:
    return StepSnags(
        step=step,
        title=f"The step {step}",
        count=count,
        not_mended=not_mended,
        last=date(2026, 3, 2),
        last_text="fell over",
        last_remedy=None,
    )


POWER, LEVEL = snags_at(Step.POWER, 3, 0), snags_at(Step.LEVEL, 1, 1)


def test_the_words_give_the_sum_and_the_worst_step() -> None:
    assert snags_picture("Heron", [LEVEL, POWER]).description == (
        "4 snags at 2 steps, 1 not mended. Most at: The step power (3)."
    )


def test_the_table_holds_each_step() -> None:
    assert snags_picture("Heron", [LEVEL]).rows == (
        ("The step level", "1", "1", "2026-03-02", "fell over", ""),
    )


def test_no_bar_has_an_edge_in_the_colour_of_what_it_has_none_of() -> None:
    (axes,) = figure_of(snags_picture("Heron", [POWER, LEVEL])).axes
    bars: list[Any] = list(axes.patches)
    edges = [(bar.get_width(), to_hex(bar.get_edgecolor())) for bar in bars]
    assert edges == [(3, LIGHT.first), (1, LIGHT.warning)]


@pytest.mark.parametrize("snags", [[], [POWER], [POWER, LEVEL]])
def test_it_is_drawn_however_few_there_are(snags: list[StepSnags]) -> None:
    ElementTree.fromstring(inline_svg(snags_picture("Heron", snags)))
