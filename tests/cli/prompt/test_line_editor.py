"""The prompt at a terminal: a night with slips and a kill in its midst, in red, in 40 columns, on a dumb terminal."""

import re
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.program import Answer, Program
from tests.cli.prompt.terminals import AtTerminal

pytestmark = pytest.mark.filterwarnings("ignore:.*forkpty.*:DeprecationWarning")
Terminal = Callable[..., AtTerminal]
RED = "af0000"  # the nearest to #a00000 of a terminal's 256 colours
BEGUN = ["night start mill with ines", "20:10 setup start heron, long tube, wide 25, ines"]
# What is typed at the terminal, and what of it stays, as one would have written it without slips.
BEFORE_THE_KILL = [
    *BEGUN,
    "20:50 sy reguls 3E2N pw",
    "1",
    "20:55 ch procyon 1W",
    "u",
    "20:56 ch procyon 2W",
    "20:58 pier e",
]
AFTER_IT = [
    "21:00 g m31 edge",
    "g canopus in",
    "",
    "ti power 12.6 12.1",
    "21:10 sa m81; oval glow",
    "sn key summer time",
]
STAYS = [
    *BEGUN,
    "20:50 sy regulus 3E2N pw",
    "20:56 ch procyon 2W",
    "20:58 pier e",
    "21:00 g m31 edge",
    "ti power 12.6 12.1",
    "21:10 sa m81; oval glow",
    "sn key summer time",
]
TABLES = {
    "nights": "night_of, open",
    "setups": "ordinal, started_utc, open",
    "arrivals": "at_utc, role, target, offset_east_arcmin, offset_north_arcmin, landing, pier_side, field_arcmin",
    "observations": "at_utc, target, sighting, description, magnification",
    "ticks": "at_utc, step, value, went_well",
    "snags": "at_utc, step, text",
}


def records(path: str) -> dict[str, list[tuple[object, ...]]]:
    """What is on record, without keys."""
    with closing(sqlite3.connect(path)) as file:
        assert file.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        return {
            table: file.execute(f"SELECT {columns} FROM {table} ORDER BY id").fetchall()
            for table, columns in TABLES.items()
        }


def test_a_night_with_slips_and_a_kill_is_what_a_file_without_them_gives(
    terminal: Terminal, piped: Callable[..., Answer], in_club: Program, tmp_path: Path
) -> None:
    path = in_club.environment["OBSLOG_DB"]
    fresh = shutil.copy(path, tmp_path / "fresh.db")
    first = terminal("prompt")
    first.wait_for("no night open")
    for line in BEFORE_THE_KILL:
        first.line(line)
    assert "Heron  next 3  pier east" in first.text
    first.keys("21:02 g m82 i")  # never sent
    first.kill()
    again = terminal("prompt")
    again.wait_for("Heron  next 3  pier east")
    for line in AFTER_IT:
        again.line(line)
    again.keys("\x04")
    assert again.ended() == 0
    at_terminal = records(path)
    in_club.environment["OBSLOG_DB"] = str(fresh)
    assert piped(STAYS).code == 0
    assert at_terminal == records(str(fresh))
    # And by hand: 53 deg x 25 mm / 1000 mm is a field of 79.5'; London keeps universal time in March.
    assert at_terminal["arrivals"] == [
        ("2026-03-02T20:50:00.000000Z", "sync", "Regulus", 3.0, 2.0, None, "west", 79.5),
        ("2026-03-02T20:56:00.000000Z", "check", "Procyon", -2.0, 0.0, None, None, 79.5),
        ("2026-03-02T21:00:00.000000Z", "goto", "M 31", None, None, "edge", "east", 79.5),
    ]


@pytest.mark.parametrize("kind", ["xterm-256color", "dumb"])
def test_a_window_that_is_closed_loses_nothing_that_was_answered(
    terminal: Terminal, in_club: Program, kind: str
) -> None:
    first = terminal("prompt", TERM=kind)
    first.wait_for(">")
    for line, told in (
        (BEGUN[0], "Mill Field"),
        (BEGUN[1], "set-up 1"),
        ("20:50 sy regulus 3E2N pw", "1.  20:50"),
        ("20:58 pier e", "east side"),
    ):
        first.keys(f"{line}\r")
        first.wait_for(told)
    first.keys("21:00 g m82 in")  # never sent
    first.hang_up()
    assert "Traceback" not in first.raw
    kept = records(in_club.environment["OBSLOG_DB"])
    assert [row[2] for row in kept["arrivals"]] == ["Regulus"]
    again = terminal("prompt")
    again.wait_for("Heron  next 2  pier east")
    again.line("21:02 g m31 edge")
    again.hang_up()
    assert [row[2] for row in records(in_club.environment["OBSLOG_DB"])["arrivals"]] == ["Regulus", "M 31"]


def only_red(shown: AtTerminal) -> None:
    """Every sign on the screen is in the one red, on the terminal's own ground."""
    signs = [
        cell
        for row in range(shown.screen.lines)
        for place in range(shown.screen.columns)
        if (cell := shown.screen.buffer[row][place]).data.strip()
    ]
    assert signs
    assert {(cell.fg, cell.bg) for cell in signs} == {(RED, "default")}, shown.text


def test_everything_is_red_and_fits_into_40_columns(terminal: Terminal) -> None:
    shown = terminal("--red", "prompt", columns=40)
    shown.wait_for("no night open")
    only_red(shown)
    for line in [*BEGUN, "20:50 sy reguls 3E", "1", "g canopus in", "no", "nonsense", "list", "help", "br"]:
        shown.line(line)
        only_red(shown)
    shown.keys("s\t")
    shown.wait_for("suspected")
    only_red(shown)
    shown.keys("\x03")
    shown.wait(shown.at_prompt)
    shown.keys("\x12canop")
    shown.wait_for("g canopus in")
    only_red(shown)
    colours = {code for code in re.findall(r"\x1b\[([0-9;]*)m", shown.raw) if "38" in code or "48" in code}
    assert colours
    assert all("38;5;124" in code and "48;" not in code for code in colours)


def test_tab_completes_and_the_bottom_line_counts(terminal: Terminal) -> None:
    shown = terminal("prompt")
    shown.wait_for("no night open")
    for line in BEGUN:
        shown.line(line)
    shown.wait(lambda: "dawn in" in shown.text or "moonrise in" in shown.text or "dark in" in shown.text)
    shown.keys("sync regul\t")
    shown.wait_for("> sync Regulus")
    shown.keys(" ce\t")
    shown.wait_for("> sync Regulus centred")
    shown.line("")
    assert "1.  21:40  sync  Regulus  centred  (Heron)" in shown.text
    assert "Mill Field  21:40  Heron  next 2" in shown.text


def test_what_was_typed_can_be_found_again_by_its_owner_alone(terminal: Terminal, in_club: Program) -> None:
    first = terminal("prompt")
    first.wait_for("no night open")
    first.line("wher procyon")
    first.keys("\x04")
    assert first.ended() == 0
    kept = Path(in_club.environment["OBSLOG_DB"] + ".prompt-lines")
    assert kept.read_text() == "wher procyon\n"
    assert kept.stat().st_mode & 0o077 == 0
    again = terminal("prompt")
    again.wait_for("no night open")
    again.keys("\x12procy")
    again.wait_for("wher procyon")


def test_ctrl_c_drops_the_line_and_nothing_else(terminal: Terminal, in_club: Program) -> None:
    shown = terminal("prompt")
    shown.wait_for("no night open")
    shown.line(BEGUN[0])
    shown.keys("setup start her\x03")
    shown.wait(shown.at_prompt)
    shown.line("quiet on")
    shown.keys("quit\r")
    assert shown.ended() == 0
    assert records(in_club.environment["OBSLOG_DB"])["setups"] == []


def test_a_dumb_terminal_gets_no_escape_codes(terminal: Terminal, in_club: Program) -> None:
    shown = terminal("--red", "prompt", TERM="dumb")
    shown.wait_for(">")
    for line, told in (
        (BEGUN[0], "Mill Field"),
        (BEGUN[1], "set-up 1"),
        ("sy reguls 3E", "which?"),
        ("1", "sync"),
    ):
        shown.keys(f"{line}\r")
        shown.wait_for(told)
    shown.wait_for("Regulus  3.0E 0.0N")
    shown.keys("\x04")
    assert shown.ended() == 0
    assert "\x1b" not in shown.raw
    assert records(in_club.environment["OBSLOG_DB"])["arrivals"][0][2] == "Regulus"


def test_without_colour_there_is_none(terminal: Terminal) -> None:
    shown = terminal("prompt", OBSLOG_THEME="red", NO_COLOR="1")
    shown.wait_for("no night open")
    shown.line(BEGUN[0])
    shown.keys("s\t")
    shown.wait_for("suspected")
    styles = {part for code in re.findall(r"\x1b\[([0-9;]*)m", shown.raw) for part in code.split(";")}
    assert styles <= {"", "0", "7"}, "reverse alone tells which of the menu is chosen"


@pytest.mark.parametrize(
    ("term", "colorterm", "red"),
    [
        ("linux", "", "red"),
        ("xterm", "", "red"),
        ("xterm-256color", "", "af0000"),  # entry 124 of xterm's 256 colours
        ("xterm-256color", "truecolor", "a00000"),
    ],
)
def test_all_that_stands_at_the_prompt_is_the_dim_red(
    terminal: Callable[..., AtTerminal], term: str, colorterm: str, red: str
) -> None:
    """The prompt, what is typed, what is offered, answers, errors, a question and the bottom line."""
    shown = terminal("--red", "prompt", TERM=term, COLORTERM=colorterm)
    shown.wait_for("no night open")
    for line in (BEGUN[0], "nonsense", "help", "sync vegga 1e"):
        shown.line(line)
        assert colours_of_signs(shown) == {red}
    shown.keys("\r")
    shown.keys("s\t")
    shown.wait_for("suspected")
    assert colours_of_signs(shown) == {red}


@pytest.mark.parametrize(("term", "red"), [("linux", "red"), ("xterm-256color", "af0000")])
def test_what_is_asked_and_answered_elsewhere_is_the_dim_red_too(
    terminal: Callable[..., AtTerminal], tmp_path: Path, term: str, red: str
) -> None:
    paper = terminal("--red", "night", "type-up", TERM=term)
    for told, answer in (("Site: ", "mill"), (":", "2026-03-01"), (":", "\t\x04")):
        paper.wait_for(told.strip())
        paper.keys(f"{answer}\r")
        assert colours_of_signs(paper) == {red}
    first = terminal("--red", "start", TERM=term, OBSLOG_DB=str(tmp_path / "new.db"))
    for told, answer in (("Name:", "Fen Edge"), ("Place:", "nowhere"), ("cannot be read", "")):
        first.wait_for(told)
        first.keys(f"{answer}\r")
        assert colours_of_signs(first) == {red}


def colours_of_signs(shown: AtTerminal) -> set[str]:
    """The colours of all letters and grounds on the screen; the bright red of a bold one is another."""
    signs = [sign for row in shown.screen.buffer.values() for sign in row.values()]
    letters = {sign.fg for sign in signs if sign.data.strip() or sign.reverse}
    bright = {"bright" for sign in signs if sign.fg == "red" and sign.bold}
    return letters | bright | ({sign.bg for sign in signs} - {"default"})


def test_in_the_plain_look_lines_stand_one_below_the_other(terminal: Callable[..., AtTerminal]) -> None:
    shown = terminal("--plain", "prompt")
    shown.wait_for("\n>")
    shown.keys(f"{BEGUN[0]}\rwhere vega\r")
    shown.wait_for(" deg")
    shown.keys("quit\r")
    assert shown.ended() == 0
    assert "\x1b" not in shown.raw.replace("\x1b[?2004h", "").replace("\x1b[?2004l", "")
