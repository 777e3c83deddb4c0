"""The program's own options are heard before and behind a command."""

import re
from pathlib import Path

import pytest

from obslog import __version__
from obslog.cli.main import options_first
from tests.cli.program import Program, Terminal

COLOUR = re.compile(r"\x1b\[[0-9;]*(?:31|38;2;160;0;0|38;5;124)m")
ANY_STYLE = re.compile(r"\x1b\[([0-9;]*)m")


@pytest.fixture
def terminal(in_club: Program, monkeypatch: pytest.MonkeyPatch) -> Terminal:
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLORTERM", "truecolor")  # Rich remembers how it first wrote a colour
    monkeypatch.delenv("NO_COLOR", raising=False)
    screen = Terminal()
    in_club.terminal = screen
    return screen


@pytest.mark.parametrize(
    "line", ["mount list --red", "--version --red", "--help --red", "mount list --help --red"]
)
def test_red_is_heard_behind_a_command_and_colours_all(
    in_club: Program, terminal: Terminal, line: str
) -> None:
    assert in_club(*line.split()).code == 0
    shown = terminal.getvalue()
    assert COLOUR.match(shown) or shown.startswith("\x1b[1;31m") or "\x1b[1;38" in shown[:8]
    for style in ANY_STYLE.findall(shown):
        assert set(style.split(";")) <= {"", "0", "1", "31", "38", "2", "160", "5", "124"}, style


def test_without_red_help_has_no_colour(in_club: Program, terminal: Terminal) -> None:
    assert in_club("--help").code == 0
    assert "\x1b" not in terminal.getvalue()


def test_the_database_is_named_behind_a_command(in_club: Program, tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    assert [m["name"] for m in in_club.document("member", "list")] == ["Bram Ostler", "Ines"]
    assert in_club.document("member", "list", "--db", str(other)) == []
    assert in_club.document("member", "list", f"--db={other}") == []
    assert other.exists()


def test_the_version_is_said_behind_a_command(in_club: Program) -> None:
    assert in_club.must("mount", "list", "--version").out == f"obslog {__version__}\n"


@pytest.mark.parametrize(
    ("typed", "heard"),
    [
        ("mount list --red", "--red mount list"),
        ("mount list --db a.db --json", "--db a.db mount list --json"),
        ("mount list --db=a.db", "--db=a.db mount list"),
        ("find -- --red", "find -- --red"),
        ("mount list --db", "mount list --db"),
        ("", ""),
    ],
)
def test_the_programs_options_come_first(typed: str, heard: str) -> None:
    assert options_first(typed.split()) == heard.split()
