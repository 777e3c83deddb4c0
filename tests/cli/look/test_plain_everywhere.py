"""The plain look of every command: no style, no sign that is neither a letter nor of ASCII, a fact a line."""

import io
import shlex
from pathlib import Path

import pytest

from obslog.cli.look.layout import DrawnHeading
from obslog.cli.look.look import Look
from obslog.cli.terminal.help_pages import paragraphs
from obslog.cli.terminal.screen import Screen
from tests.cli.commands import all_commands, command_at
from tests.cli.program import Program, Terminal

LEAVES = [words for words, one in all_commands() if not hasattr(one, "commands") and words != ("demo",)]


@pytest.fixture
def aloud(outside: Program, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Program:
    """The program in the field at a terminal of many colours, in a folder of its own; nobody sits at the keyboard."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    for name, value in (("TERM", "xterm-256color"), ("COLUMNS", "80")):
        monkeypatch.setenv(name, value)
    outside.terminal = Terminal()
    return outside


def shown(program: Program, *words: str) -> str:
    assert isinstance(program.terminal, Terminal)
    program.terminal.seek(0)
    program.terminal.truncate()
    program(*words)
    return program.terminal.getvalue()


def not_plain(text: str) -> set[str]:
    return {
        sign
        for sign in text
        if not (sign.isalpha() or (sign.isascii() and (sign.isprintable() or sign == "\n")))
    }


def test_what_is_not_plain_is_found() -> None:
    assert not_plain("Zoë: 12 deg\n") == set()
    assert not_plain("\x1b[1m12° ─●\t") == set("\x1b°─●\t")


@pytest.mark.parametrize("words", LEAVES, ids=" ".join)
def test_every_command_speaks_in_plain_signs(aloud: Program, words: tuple[str, ...]) -> None:
    command, _ = command_at(words)
    lines = [
        shlex.split(line)[1:]
        for part in paragraphs(command.help)
        if part.startswith("obslog ")
        for line in part.splitlines()
    ]
    for line in (list(words), *lines, [*words, "--help"], [*words, "--nonsense"]):
        assert not_plain(shown(aloud, *line, "--plain")) == set()


def test_a_table_is_told_cell_by_cell_and_what_is_drawn_is_left_out() -> None:
    out = Terminal()
    screen = Screen(out, out, Look(plain=True))
    screen.table(
        ["night", "half", DrawnHeading("1'   8'"), ""],
        [["2026-03-02", 3.5, "──●──", "sync"], ["2026-03-03", None, "", ""]],
    )
    assert out.getvalue() == "night: 2026-03-02\nhalf: 3.5\nsync\n\nnight: 2026-03-03\n"


def test_names_with_values_are_told_with_a_colon() -> None:
    out = Terminal()
    Screen(out, out, Look(plain=True)).fields([("mount", "Heron"), ("tube", None)])
    assert out.getvalue() == "mount: Heron\ntube: unknown\n"


def test_progress_is_told_in_words() -> None:
    out = Terminal()
    with Screen(out, out, Look(plain=True)).progress("Importing", 2) as tick:
        tick(1)
        tick(1)
    assert out.getvalue() == "Importing.\nImporting: 50 %.\nImporting: 100 %.\n"
