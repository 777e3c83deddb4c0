"""What reaches a terminal, a pipe and a script: no colour but the asked for, no sign that steers, one document."""

import io
import json
import re
import sys

import pytest
from rich.style import Style

from obslog.cli.terminal.screen import Screen
from tests.cli.program import Program, Terminal

ESCAPE = re.compile(r"\x1b\[([0-9;]*)m")
_SIGNS = [
    "\x1b[31mred\x1b[0m",
    "\x9b31m",  # the one-byte form of escape and bracket, ECMA-48
    "\x1b]0;title\x07",
    "[bold]loud[/bold] [/]",
    "left\u202etfel",  # turns what follows right to left, Unicode annex 9
    "=HYPERLINK(1)",
    "bell\x07",
]
HOSTILE = [" ".join(_SIGNS), "long " * 700 + _SIGNS[0]]
SHOWING = ["setup show", "night show", "night list", "snag list", "export arrivals"]


@pytest.fixture
def terminal(program: Program, monkeypatch: pytest.MonkeyPatch) -> Terminal:
    """Both streams as one terminal of 16 million colours, 80 columns wide."""
    program.terminal = Terminal()
    for name, value in (("TERM", "xterm-256color"), ("COLORTERM", "truecolor"), ("COLUMNS", "80")):
        monkeypatch.setenv(name, value)
    monkeypatch.delenv("NO_COLOR", raising=False)
    return program.terminal


def steering(text: str) -> list[str]:
    """The signs that could steer a terminal, apart from line ends, tabs and colours."""
    return [s for s in ESCAPE.sub("", text) if not (s.isprintable() or s in "\n\t")]


def with_hostile_note(program: Program, note: str) -> None:
    """Put the note on record as a sheet would, past what the keyboard lets through."""
    import sqlite3

    with sqlite3.connect(program.environment["OBSLOG_DB"]) as connection:
        connection.execute(
            "UPDATE arrivals SET note = ?1, search_text = ?1, target = ?2", (note[:4000], note[:200])
        )
        connection.execute("UPDATE nights SET note = ?1, search_text = ?1", (note[:4000],))
    connection.close()


@pytest.mark.parametrize("note", HOSTILE)
def test_hostile_text_never_steers_a_pipe_or_breaks_json(outside: Program, note: str) -> None:
    with_hostile_note(outside, note)
    for line in SHOWING[:-1]:
        answer = outside.must(*line.split())
        assert steering(answer.out) == []
        assert "\x1b" not in answer.out
    for line in SHOWING:
        answer = outside.must(*line.split(), "--json")
        assert steering(answer.out) == []
        assert answer.document is not None
    assert [a["note"] for a in outside.document("setup", "show")["arrivals"]] == [note[:4000]] * 2


@pytest.mark.parametrize("note", HOSTILE)
def test_hostile_text_never_steers_a_terminal(outside: Program, terminal: Terminal, note: str) -> None:
    with_hostile_note(outside, note)
    for line in SHOWING:
        assert outside(*line.split()).code == 0
        assert outside(*line.split(), "--json").code == 0
    shown = terminal.getvalue()
    assert shown.count("Heron") >= 2 * 3
    assert steering(shown) == []
    assert "31" not in [code for codes in ESCAPE.findall(shown) for code in codes.split(";")]


def test_markup_in_a_name_is_shown_as_it_is(in_club: Program, terminal: Terminal) -> None:
    assert in_club("member", "add", "[bold]Max[/bold]").code == 0
    assert "[bold]Max[/bold]" in terminal.getvalue()


@pytest.mark.parametrize("name", ["\x1b[31mred", "bell\x07", "a\u202eb", "x" * 201, "\udcff", " \t\n"])
def test_a_name_that_cannot_be_shown_is_refused_and_the_refusal_is_harmless(
    in_club: Program, name: str
) -> None:
    for words in (
        ["member", "add", name],
        ["member", "show", name],
        ["mount", "edit", "Heron", "--rename", name],
    ):
        answer = in_club(*words)
        assert answer.code == 2, answer
        assert steering(answer.err) == []
        assert len(answer.error_lines) == 2


@pytest.mark.parametrize("typed", ["no\nsuch", "\x1b[31m", "--\x1b[31m"])
def test_a_hostile_command_is_refused_in_two_lines(in_club: Program, typed: str) -> None:
    answer = in_club(typed)
    assert (answer.code, len(answer.error_lines)) == (2, 2)
    assert steering(answer.err) == []


def test_a_formula_leaves_in_a_sheet_with_an_apostrophe_and_comes_back_without(outside: Program) -> None:
    outside.must("check", "Vega", "1E", "--note", "=1+1")
    assert ",'=1+1\n" in outside.must("export", "arrivals").out.replace("\r", "")
    assert outside.document("export", "arrivals")[-1]["note"] == "=1+1"


@pytest.mark.parametrize("line", [*SHOWING, "pointing trend Heron", "checklist Heron --site|Mill Field"])
def test_a_pipe_gets_no_escape(outside: Program, line: str) -> None:
    command, _, site = line.partition("|")
    answer = outside.must(*command.split(), *([site] if site else []))
    assert "\x1b" not in answer.out + answer.err


def everything(program: Program) -> None:
    """Command lines that together use every kind of output: tables, lines, fields, notes, errors."""
    for words in (
        ["night", "show"], ["setup", "show"], ["pointing", "trend", "Heron"], ["site", "show", "Mill Field"],
        ["checklist", "Heron", "--site", "Mill Field"], ["mount", "show", "Heran"], ["sync", "Foo", "1E"], ["--help"],
    ):  # fmt: skip
        program(*words)


def test_no_color_means_no_escape_even_on_a_terminal(outside: Program, terminal: Terminal) -> None:
    outside.environment["NO_COLOR"] = "1"
    everything(outside)
    assert "\x1b" not in terminal.getvalue()


def test_no_color_takes_the_colours_away_and_leaves_the_tables(outside: Program, terminal: Terminal) -> None:
    outside("setup", "show")
    coloured = terminal.getvalue()
    outside.environment["NO_COLOR"] = "1"
    outside("setup", "show")
    assert terminal.getvalue().removeprefix(coloured) == ESCAPE.sub("", coloured)


@pytest.mark.parametrize("colours", [("xterm-256color", "truecolor"), ("xterm-256color", ""), ("xterm", "")])
def test_the_red_theme_uses_one_colour(
    outside: Program, terminal: Terminal, monkeypatch: pytest.MonkeyPatch, colours: tuple[str, str]
) -> None:
    monkeypatch.setenv("TERM", colours[0])
    monkeypatch.setenv("COLORTERM", colours[1])
    Style.parse.cache_clear()  # a style keeps the codes of the terminal on which it was first shown
    Style._add.cache_clear()
    outside.environment["OBSLOG_THEME"] = "red"
    everything(outside)
    used = {colour for codes in ESCAPE.findall(terminal.getvalue()) if (colour := _colour(codes))}
    # SGR 38;2;r;g;b and 38;5;n choose a colour of 24 or 8 bits, 31 is red (ECMA-48, ITU-T T.416). 160 of 255 is a0
    # in DIM_RED; entry 124 of the 256 is (175, 0, 0) of xterm's cube: 16 + 36 x 3.
    assert len(used) == 1
    assert used <= {"38;2;160;0;0", "38;5;124", "31"}


def _colour(codes: str) -> str:
    parts = [code for code in codes.split(";") if code not in ("", "0", "1", "2", "7", "22", "39")]
    return (
        ";".join(parts) if parts[:1] != ["38"] else ";".join(parts[:1] + codes.split("38;", 1)[1].split(";"))
    )


def test_the_option_red_is_the_same_as_the_environment(outside: Program, terminal: Terminal) -> None:
    outside("--red", "setup", "show")
    by_option = terminal.getvalue()
    outside.environment["OBSLOG_THEME"] = "red"
    outside("setup", "show")
    assert terminal.getvalue() == by_option * 2
    assert ESCAPE.search(by_option)  # which red it is depends on what the terminal can show, see above


def test_progress_goes_to_standard_error_alone(
    in_club: Program, monkeypatch: pytest.MonkeyPatch, tmp_path: object
) -> None:
    error = Terminal()
    monkeypatch.setattr(sys, "stderr", error)
    screen = Screen(sys.stdout, error)
    with screen.progress("Taking in", 3) as tick:
        tick(3)
    assert "Taking in" in error.getvalue()


def test_json_has_no_number_that_json_does_not_know(capsys: pytest.CaptureFixture[str]) -> None:
    Screen(sys.stdout, sys.stderr).json({"low": float("-inf"), "high": float("nan"), "half": 1.5})
    assert json.loads(capsys.readouterr().out) == {"low": None, "high": None, "half": 1.5}


def test_a_screen_of_few_letters_gets_escapes(in_club: Program) -> None:
    in_club.must("member", "add", "Zoë")
    ascii_only = io.TextIOWrapper(io.BytesIO(), encoding="ascii", newline="")
    in_club.terminal = ascii_only
    assert in_club("member", "show", "Zoë").code == 0
    assert in_club("member", "show", "Zoë", "--json").code == 0
    plain, _, document = ascii_only.buffer.getvalue().decode("ascii").partition("{")
    assert plain.startswith("name\tZo\\xeb")
    assert json.loads("{" + document)["name"] == "Zoë"


def test_a_sheet_through_a_pipe_is_utf_8_whatever_the_code_page(in_club: Program) -> None:
    """A spreadsheet and our own import read UTF-8; a name in another code page would come back as another."""
    in_club.must("member", "add", "Zoë")
    through_pipe = io.TextIOWrapper(io.BytesIO(), encoding="cp1252", newline="\r\n")
    in_club.terminal = through_pipe
    assert in_club("export", "members").code == 0
    written = through_pipe.buffer.getvalue()
    assert "Zoë" in written.decode("utf-8-sig")
    assert b"\r\r\n" not in written


def test_ctrl_d_is_no_answer_where_a_window_takes_it_for_a_letter(monkeypatch: pytest.MonkeyPatch) -> None:
    """As in a window of Windows, which ends no input by it."""
    monkeypatch.setattr("sys.stdin", io.StringIO("Heron\n\x04\n"))
    screen = Screen(io.StringIO(), io.StringIO())
    assert screen.answer("mount: ") == "Heron"
    with pytest.raises(EOFError):
        screen.answer("mount: ")


def test_lines_fit_a_terminal_of_their_width_and_a_pipe(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("COLUMNS", "80")
    screen = Screen(Terminal(), io.StringIO())
    assert (screen.fits(79), screen.fits(80), screen.fits(81)) == (True, True, False)
    assert Screen(io.StringIO(), Terminal()).fits(10_000)
