"""The lines of a sheet: columns in the order of what is typed, and words that typing up understands."""

import re

import pytest

from obslog.club.forms.blocks import Explanation, Table
from obslog.club.forms.line_words import COLUMNS, HOW, WHERE, lines_to_write
from obslog.club.paper.page import VERBS, read_page_line
from obslog.offsets import read_offset_or_landing
from obslog.vocabulary.arrivals import Landing
from obslog.vocabulary.steps import Step


def test_the_columns_are_a_line_from_left_to_right() -> None:
    cells = ["21:05", "check", "Vega", "3E 2N", "; windy"]
    assert [column.title for column in COLUMNS] == [
        "time",
        "act",
        "star or object",
        "where it stood",
        "; words",
    ]
    line = read_page_line(" ".join(cells))
    assert (line.at, line.verb, line.words, line.text) == ("21:05", "check", ("Vega", "3E", "2N"), "windy")


@pytest.mark.parametrize("verb", VERBS)
def test_every_act_that_can_be_typed_is_named(verb: str) -> None:
    assert re.search(rf"\b{verb}\b", HOW)


@pytest.mark.parametrize("place", ["3E 2N", "0.4f W", *Landing])
def test_every_place_that_is_named_can_be_typed(place: str) -> None:
    assert place in WHERE
    read_offset_or_landing(place)


def test_the_steps_that_a_snag_may_have_are_named_in_the_clubs_order() -> None:
    (how,) = [
        block
        for block in lines_to_write(1, ["dew-heaters", *Step], "Set-up 1")
        if isinstance(block, Explanation)
    ]
    assert "Steps of a snag: dew-heaters, pack, ground," in how.words


def test_there_is_room_for_the_lines_asked_for_and_more() -> None:
    (table,) = [block for block in lines_to_write(7, list(Step), "Set-up 1") if isinstance(block, Table)]
    assert (table.blank_rows, table.writing, table.fills_page) == (7, True, True)
