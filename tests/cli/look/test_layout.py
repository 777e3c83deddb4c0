"""Text and tables in terminals of any width: nothing is wider than the terminal, no word is lost."""

import io
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.console import Console

from obslog.cli.look.layout import block, table_fits, without_empty_columns, wrapped
from tests.cli.program import Program, Terminal, written_once
from tests.cli.screens import shown_by

ESCAPE = re.compile(r"\x1b\[[0-9;]*m")
NOTE = (
    "the guests saw it too; a long thin wisp that came and went with the seeing, best with the wide eyepiece"
)
RECORD = (
    ["saw", "M 81", "--text", NOTE, "--sure"],
    [
        "snag",
        "add",
        "cables",
        "plug loose again, taped it to the leg of the tripod until somebody brings a new one",
    ],
)
COMMANDS = (
    ("brief", "--site", "Mill Field", "--mount", "Heron", "--at", "21:00"),
    ("checklist", "Heron", "--site", "Mill Field", "--member", "Ines"),
    ("targets", "--site", "Mill Field", "--list", "messier", "--mount", "Heron", "--tube", "Long tube"),
    ("find", "the"),
    ("progress", "messier", "--member", "Ines", "--site", "Mill Field"),
    ("scales",),
    ("scales", "antoniadi"),
    ("observation", "list"),
    ("observation", "show", "1"),
    ("setup", "show"),
    ("snag", "list"),
    ("mount", "show", "Heran"),
)  # fmt: skip
TEXTS = st.text("aeinst é,-;\u671b", max_size=200)  # the last takes two cells


def console(width: int) -> Console:
    return Console(file=io.StringIO(), width=width)


@pytest.fixture
def on_record(outside: Program) -> Program:
    """The program in the field, with long notes and questions of the sky on record."""
    return written_once(outside, type_record)


def type_record(program: Program) -> None:
    for words in RECORD:
        program.must(*words)


@pytest.mark.parametrize("width", [40, 80])
@pytest.mark.parametrize("theme", ["", "red"])
def test_no_line_is_longer_than_the_terminal(
    on_record: Program, monkeypatch: pytest.MonkeyPatch, width: int, theme: str
) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLUMNS", str(width))
    on_record.environment["OBSLOG_THEME"] = theme
    for words in COMMANDS:
        on_record.terminal = Terminal()
        on_record(*words)
        lines = ESCAPE.sub("", on_record.terminal.getvalue()).splitlines()
        assert lines
        assert [line for line in lines if cell_len(line) > width] == [], words


def test_a_pipe_gets_lines_of_any_length_and_tables_by_tabs(on_record: Program) -> None:
    assert NOTE in on_record.must("observation", "list").out
    assert on_record.must("find", "wisp").out.splitlines()[1].split("\t")[-1] == NOTE


def test_in_a_block_a_unit_stands_behind_its_number() -> None:
    columns = ["", "star", "mag", "altitude °", "half within '", "in the field %", "offset '"]
    row = ["1", "Izar", "2.4", "44", "-67.4", "88", "2.0E 3.0N"]
    assert list(block(console(90), columns, row, [False] * 7))[1].strip() == (
        "altitude 44°, half within -67.4', in the field 88 %, offset 2.0'E 3.0'N"
    )


@pytest.mark.parametrize(
    ("cell", "told"),
    [
        ("2.0E 0.0N", "far off 2.0'E 0.0'N"),
        ("3.1 ± 0.4", "far off 3.1' ± 0.4'"),
        ("unknown", "far off unknown"),
    ],
)
def test_in_a_block_a_unit_stands_behind_each_number_of_a_cell(cell: str, told: str) -> None:
    lines = list(block(console(80), ["at", "star", "far off '"], ["20:31", "Izar", cell], [False] * 3))
    assert lines[1].strip() == told


def test_what_is_empty_makes_room_before_a_table_is_given_up() -> None:
    rows = [["20:31", "Regulus", "", "12.0E 9.0S"], ["20:36", "Capella", "", ""]]
    for shown in shown_by(lambda screen: screen.table(["at", "target", "pier", "offset '"], rows), (32, 28)):
        header = ["at     target   offset '"] if shown.width == 28 else ["at     target   pier  offset '"]
        assert [line.rstrip() for line in shown.lines[:1]] == header
        assert shown.lines[1].split() == ["20:31", "Regulus", "12.0E", "9.0S"]


def test_a_column_is_empty_where_no_row_has_anything() -> None:
    assert without_empty_columns(["a", "b", "c"], [["1", "", ""], ["", "", "3"]]) == (
        ["a", "c"],
        [["1", ""], ["", "3"]],
    )


def test_a_row_that_does_not_fit_is_told_in_a_block_with_the_names_of_its_columns(
    on_record: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("COLUMNS", "40")
    on_record.terminal = Terminal()
    on_record("find", "wisp")
    shown = ESCAPE.sub("", on_record.terminal.getvalue())
    assert shown.splitlines()[:3] == [
        "2026-03-02  observation",
        "  about M 81, who Ines, site Mill Field",
        "  text the guests saw it too; a long",
    ]
    assert " ".join(shown.split()).endswith(NOTE)


@given(TEXTS, st.integers(20, 120), st.integers(0, 8), st.integers(0, 8))
def test_wrapped_text_keeps_every_sign_and_the_width(text: str, width: int, indent: int, hang: int) -> None:
    lines = wrapped(console(width), text, indent, hang)
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert max(map(cell_len, lines)) <= width
    assert all(line.startswith(" " * indent) or not line.strip() for line in lines)


@given(st.lists(TEXTS.map(lambda text: " ".join(text.split())), min_size=4, max_size=4), st.integers(30, 80))
def test_a_block_keeps_every_sign_and_the_width(row: list[str], width: int) -> None:
    columns = ["day", "what", "who", "text"]
    lines = list(block(console(width), columns, row, [False, False, False, True]))
    told = "".join("".join(lines).split()).replace(",", "")
    expected = [
        row[0],
        row[1],
        *(f"{name}{cell}" for name, cell in zip(columns[2:], row[2:], strict=True) if cell),
    ]
    assert told == "".join("".join(expected).split()).replace(",", "")
    assert max(map(cell_len, lines), default=0) <= width


@pytest.mark.parametrize(
    ("cell", "width", "fits"),
    [("x" * 10, 22, True), ("x" * 10, 21, False), ("x" * 100, 28, True), ("x" * 100, 27, False)],
)
def test_short_columns_need_their_width_and_long_ones_sixteen(cell: str, width: int, fits: bool) -> None:
    # Two columns: 10 cells for "0123456789", two between them, and 10 or 16 for the other.
    assert table_fits(console(width), ["a", "b"], [["0123456789", cell]]) is fits


@pytest.mark.parametrize(("width", "fits"), [(34, True), (33, False)])
def test_every_gap_between_columns_takes_its_two_cells(width: int, fits: bool) -> None:
    assert table_fits(console(width), ["a" * 10, "b", "c"], [["1", "b" * 10, "c" * 10]]) is fits


def test_a_block_is_headed_by_two_cells_or_three_where_the_first_is_a_number_without_a_name() -> None:
    row, short = ["1", "21:32", "M 44", "seen"], [False] * 4
    named = list(block(console(60), ["no.", "at", "object", "how"], row, short))
    assert named == ["1  21:32", "  object M 44, how seen"]
    assert list(block(console(60), ["", "at", "object", ""], row, short)) == ["1  21:32  M 44", "  seen"]
