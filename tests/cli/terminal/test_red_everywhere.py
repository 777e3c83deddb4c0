"""In the red theme nothing reaches the terminal in any other colour, whichever way it goes there."""

import io
import re
import shlex
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from obslog.cli.look.look import Depth, Look
from obslog.cli.terminal.help_pages import paragraphs
from obslog.cli.terminal.screen import Screen
from tests.cli.commands import all_commands, command_at
from tests.cli.program import Program, Terminal

STYLE = re.compile(r"\x1b\[([0-9;]*)m")
OTHER_STEERING = re.compile(r"\x1b\[[?0-9;]*[A-LN-Za-ln-z]")  # the cursor of a progress bar
RED = "38;2;160;0;0"
AS_RED = re.compile(r"38;2;160;0;0|38;5;124|\b31\b")  # Rich remembers how it first wrote a colour
PAPER = "Mill Field\n2026-03-01\n\n\ncloud\n\n\n\nyes\n"


def outside_the_red(text: str) -> str:
    """What is shown while the red is not on, or while any other colour is."""
    red, plain, shown = False, "", OTHER_STEERING.sub("", text)
    position = 0
    for found in [*STYLE.finditer(shown), None]:
        piece = shown[position : found.start() if found else len(shown)]
        plain += "" if red else piece
        if found:
            position = found.end()
            rest = AS_RED.sub("red", found[1]).split(";")
            assert set(rest) <= {"", "0", "1", "7", "red"}, found[0]
            assert not {"1", "31"} <= set(found[1].split(";")), "of 16 colours a bold red is bright"
            red = "red" in rest or (red and "0" not in rest and "" not in rest)
    return plain.strip()


def test_what_is_outside_the_red_is_found() -> None:
    assert outside_the_red(f"\x1b[{RED}mdim\x1b[0m bright") == "bright"
    assert outside_the_red(f"\x1b[1;{RED}mdim\x1b[0m\n") == ""
    for other in ("32", "38;5;40", "48;5;1", "38;2;160;1;0", "91", "1;31", "2", "3", "4", "41"):
        with pytest.raises(AssertionError):
            outside_the_red(f"\x1b[{other}mgreen\x1b[0m")


class Keyboard(io.StringIO):
    """Standard input at which somebody sits."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def dark(outside: Program, monkeypatch: pytest.MonkeyPatch) -> Program:
    """The program in the field at a terminal of 16 million colours."""
    for name, value in (("TERM", "xterm-256color"), ("COLORTERM", "truecolor"), ("COLUMNS", "80")):
        monkeypatch.setenv(name, value)
    monkeypatch.delenv("NO_COLOR", raising=False)
    outside.terminal = Terminal()
    return outside


def shown(program: Program, *words: str) -> str:
    assert program.terminal is not None
    program.terminal.seek(0)
    program.terminal.truncate()
    program(*words)
    return program.terminal.getvalue()  # type: ignore[attr-defined,no-any-return]


WAYS: list[Callable[[list[str]], list[str]]] = [
    lambda words: ["--red", *words],
    lambda words: [*words, "--red"],
    lambda words: [words[0], "--red", *words[1:]],
]


@pytest.mark.parametrize(
    "line",
    [
        "mount list", "mount list --json", "mount list --help", "mount --help", "mount", "--help", "--version",
        "mount list --version", "night show", "setup show", "setup show --json", "export arrivals", "checklist Heron",
        "snag add levle fog", "mont list", "mount show Hern", "mount list --nonsense", "sync Vega 99X", "undo", "words",
        "db check", "db where", "pointing trend Heron", "pointing fit Heron", "member leave Ines", "brief Heron",
        "night list", "sky tonight", "targets", "review", "store list", "find fog", "snag list", "rule list",
    ],
)  # fmt: skip
def test_it_is_red_wherever_it_is_asked_for(dark: Program, line: str) -> None:
    for way in WAYS:
        told = shown(dark, *way(line.split()))
        assert told.strip()
        assert outside_the_red(told) == ""
    dark.environment["OBSLOG_THEME"] = "red"
    told = shown(dark, *line.split())
    assert outside_the_red(told) == ""
    assert "\ufffd" not in told


def test_what_follows_two_dashes_is_no_wish_for_red(dark: Program) -> None:
    assert "\x1b[" not in shown(dark, "find", "--", "--red").replace("\x1b[1m", "").replace("\x1b[0m", "")


def heard(monkeypatch: pytest.MonkeyPatch, typed: str) -> None:
    """Let `input` show its prompt where it does at a terminal, and take the next typed line."""
    lines = iter(typed.splitlines())

    def ask(prompt: str = "") -> str:
        sys.stdout.write(prompt)
        return next(lines)

    monkeypatch.setattr("sys.stdin", Keyboard(typed))
    monkeypatch.setattr("builtins.input", ask)


def test_questions_are_asked_in_red(dark: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    heard(monkeypatch, PAPER)
    told = shown(dark, "night", "type-up", "--red")
    assert "Site: " in told
    assert outside_the_red(told) == ""


def test_a_question_before_what_cannot_be_undone_is_red(
    dark: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    heard(monkeypatch, "no\n")
    told = shown(dark, "--red", "member", "leave", "Bram Ostler")
    assert "[yes/no]" in told
    assert outside_the_red(told) == ""


def test_the_question_never_stands_in_a_piped_document(
    outside: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    heard(monkeypatch, PAPER)
    answer = outside("night", "type-up", "--json")
    assert answer.document["night"]["night"] == "2026-03-01"
    assert "Site: " in answer.err


def test_progress_is_red(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLORTERM", "truecolor")
    terminal = Terminal()
    screen = Screen(terminal, terminal, Look(red=True, depth=Depth.TRUE))
    with screen.progress("Building", 3) as tick:
        tick(2)
    assert "Building" in terminal.getvalue()
    assert outside_the_red(terminal.getvalue()) == ""


TERMINALS = (("xterm", ""), ("xterm-256color", ""), ("xterm-256color", "truecolor"))
LEAVES = [words for words, one in all_commands() if not hasattr(one, "commands")]
GROUPS = [words for words, one in all_commands() if hasattr(one, "commands")]
BUILDS_FOR_SECONDS = ("demo",)


@pytest.fixture
def anywhere(dark: Program, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Program:
    """In a folder of its own, for examples write files; nobody sits at the keyboard."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    return dark


def at(monkeypatch: pytest.MonkeyPatch, kind: tuple[str, str]) -> None:
    monkeypatch.setenv("TERM", kind[0])
    monkeypatch.setenv("COLORTERM", kind[1])


@pytest.mark.parametrize("words", [*GROUPS, *LEAVES], ids=" ".join)
def test_every_command_and_all_that_it_refuses_is_red(
    anywhere: Program, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    for kind in TERMINALS:
        at(monkeypatch, kind)
        for more in (["--help"], ["--no-such-option"], ["a", "b", "c", "d", "e"]):
            told = shown(anywhere, *words, *more, "--red")
            assert told.strip()
            assert outside_the_red(told) == ""


@pytest.mark.parametrize("words", [one for one in LEAVES if one not in {BUILDS_FOR_SECONDS}], ids=" ".join)
def test_every_command_is_red_when_it_does_its_work(
    anywhere: Program, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    """With nothing behind it, and as its own help shows it; plain and red together are red too."""
    command, _ = command_at(words)
    lines = [
        shlex.split(line)[1:]
        for part in paragraphs(command.help)
        if part.startswith("obslog ")
        for line in part.splitlines()
    ]
    anywhere.environment["OBSLOG_THEME"] = "red"
    at(monkeypatch, TERMINALS[len(words[-1]) % 3])
    for line in (list(words), *lines):
        for more in ([], ["--plain"], ["--json"]):
            assert outside_the_red(shown(anywhere, *line, *more)) == ""


def test_a_whole_traceback_is_red(anywhere: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_arguments: object, **_options: object) -> None:
        raise ZeroDivisionError("no such luck")

    monkeypatch.setattr("obslog.club.register.named_records.listed", fail)
    anywhere.environment["OBSLOG_DEBUG"] = "1"
    told = shown(anywhere, "mount", "list", "--red")
    assert "Traceback" in told
    assert outside_the_red(told) == ""


def test_what_a_library_writes_past_the_screen_is_red(
    anywhere: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    def warn(*_arguments: object, **_options: object) -> list[object]:
        sys.stdout.write("\x1b[32mgreen\x1b[0m words\n")
        sys.stderr.write("a warning\n")
        return []

    monkeypatch.setattr("obslog.club.register.named_records.listed", warn)
    told = shown(anywhere, "mount", "list", "--red")
    assert "green words" in told
    assert "a warning" in told
    assert outside_the_red(told) == ""


def test_the_lines_that_a_shell_completes_by_are_red_where_they_are_looked_at(anywhere: Program) -> None:
    told = shown(anywhere, "--show-completion", "--red")
    assert told.strip()
    assert outside_the_red(told) == ""


def test_red_can_be_had_through_a_pipe_but_never_in_a_document(
    outside: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.delenv("COLORTERM", raising=False)
    assert "\x1b" not in outside("mount", "list", "--red").out
    monkeypatch.setenv("FORCE_COLOR", "1")
    piped = outside("mount", "list", "--red").out
    assert "\x1b[38;5;124m" in piped
    assert outside_the_red(piped) == ""
    assert "\x1b" not in outside("mount", "list").out
    assert outside("mount", "list", "--red", "--json").document
