"""A percentage and a command stay on one line each where they fit, and what scripts read has plain spaces."""

import json
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console

from obslog.cli.look.layout import wrapped
from obslog.cli.terminal.screen import Screen
from tests.cli.program import Program
from tests.cli.screens import PIPED, shown_by

SENTENCE = "half of them, 78 % of all, is within 9' (95 % interval 66 % to 88 %)"
BROKEN = re.compile(r"^\s*%", re.MULTILINE)


@pytest.mark.parametrize("width", range(20, 80))
def test_no_line_of_a_sentence_begins_with_the_sign(width: int) -> None:
    for shown in shown_by(lambda screen: screen.line(SENTENCE, hang=2), (width,)):
        assert not BROKEN.search(shown.out)
        assert shown.words == SENTENCE
        assert max(map(len, shown.lines)) <= width
    for shown in shown_by(lambda screen: screen.note(SENTENCE), (width,)):
        assert not BROKEN.search(shown.err)
        assert shown.notes == SENTENCE


@pytest.mark.parametrize("width", range(36, 80))
def test_no_line_of_a_cell_begins_with_the_sign(width: int) -> None:
    def show(screen: Screen) -> None:
        screen.table(["name", "share", "what"], [["Heron", "78 %", SENTENCE]])

    for shown in shown_by(show, (width,)):
        assert not re.search(r"(?<!\d) +%", shown.out)
        assert max(map(len, shown.lines)) <= width
        assert shown.rows("name", "share", "what") == [{"name": "Heron", "share": "78 %", "what": SENTENCE}]


@pytest.mark.parametrize("width", range(40, 80))
def test_no_line_of_a_heading_is_a_unit_alone(width: int) -> None:
    def show(screen: Screen) -> None:
        screen.table(["star", "then half within '", "in the field %"], [["Izar", "9.1", "88"]])

    for shown in shown_by(show, (width,)):
        headings = shown.out[: shown.out.index("Izar")]
        assert "within '" in headings
        assert "field %" in headings


@pytest.mark.parametrize("width", range(30, 90))
def test_a_command_at_the_end_stands_on_one_line(width: int) -> None:
    command = 'obslog site show "Mill Field"'
    for shown in shown_by(lambda screen: screen.line(f"Choose another name, or see it: {command}"), (width,)):
        assert any(line.rstrip().endswith(command) for line in shown.lines)
        assert max(map(len, shown.lines)) <= width


@pytest.mark.parametrize("width", [20, 28])
def test_a_command_longer_than_a_line_is_folded_at_its_spaces(width: int) -> None:
    said = 'See it: obslog site show "Mill Field"'
    for shown in shown_by(lambda screen: screen.line(said), (width,)):
        assert shown.words == said
        assert max(map(len, shown.lines)) <= width


@given(st.text("ab 5%é望", max_size=60), st.integers(20, 60))
def test_nothing_is_added_or_lost(text: str, width: int) -> None:
    console = Console(width=width)
    assert "".join("".join(wrapped(console, text)).split()) == "".join(text.split())


def test_what_goes_through_a_pipe_has_plain_spaces_alone() -> None:
    for shown in shown_by(lambda screen: screen.table(["share"], [["78 %"]]), (PIPED,)):
        assert shown.out == "share\n78 %\n"
    for shown in shown_by(lambda screen: screen.line(SENTENCE), (PIPED,)):
        assert shown.out == SENTENCE + "\n"
    for shown in shown_by(lambda screen: screen.json({"words": SENTENCE}), (PIPED, 40)):
        assert json.loads(shown.out) == {"words": SENTENCE}
        assert SENTENCE in shown.out


def test_a_sheet_has_plain_spaces_alone(outside: Program) -> None:
    outside.must("edit", "1", "--note", "cloud over 78 % of the sky")
    sheet = outside.must("export", "arrivals").out
    assert "cloud over 78 % of the sky" in sheet
    assert not set(sheet) & {"\u00a0", "\u202f", "\u2060", "\ue000"}
