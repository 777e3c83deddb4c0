"""The command: one prompt for the whole evening."""

import os
import sys
from collections.abc import Iterator
from io import TextIOWrapper
from typing import TYPE_CHECKING

import typer

from obslog.cli.look.look import shows_lines_only
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import AsJson
from obslog.cli.terminal.state import State
from obslog.errors import WrongInput

if TYPE_CHECKING:
    from obslog.cli.prompt.kept import KeptSettings
    from obslog.records.database import Database


class NoDocumentOfAnEvening(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "--json answers lines from a file or another program, and this is a terminal.",
            "Leave it out, or give the lines from a file.",
        )


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's own."""
    command(app, "prompt")(prompt)


def prompt(database: "Database", state: State, as_json: AsJson = False) -> None:
    """Type the whole evening at one prompt.

    A line an act, each on disk before its answer is shown: sync vega 3E2N pw. Verbs by any beginning that only one
    has; help tells them. Lines from a file or another program do the same.

    obslog prompt
    """
    from obslog.cli.prompt.kept import KeptSettings, beside_database

    kept = KeptSettings(beside_database(state.target, "prompt.json"))
    if sys.stdin.isatty():
        if as_json:
            raise NoDocumentOfAnEvening
        _at_terminal(database, state, kept)
        return
    from obslog.cli.prompt.piped import PipedLines, complain

    lines = PipedLines(
        database=database,
        screen=state.screen,
        settings=kept.read(),
        keep=kept.write,
        clock=state.now,
        me=state.me,
        silent=as_json,
    )
    answers = lines.run(_lines_of_input())
    if as_json:
        state.screen.json(answers)
    complain(answers)


def _at_terminal(database: "Database", state: State, kept: "KeptSettings") -> None:
    from obslog.cli.prompt.conversation import Conversation

    talk = Conversation(
        database=database, screen=state.screen, settings=kept.read(), keep=kept.write, me=state.me
    )
    state.screen.hold_no_more()
    state.screen.note("help tells the verbs; quit or Ctrl-D leaves.")
    if state.screen.look.plain or _shows_lines_only():
        from obslog.cli.prompt.plain_lines import converse
    else:
        from obslog.cli.prompt.line_editor import converse
    converse(talk, state)


def _shows_lines_only() -> bool:
    """Whether the terminal can only show lines one below the other."""
    if not sys.stdout.isatty():
        return True
    return shows_lines_only(os.environ, sys.platform)


def _lines_of_input() -> Iterator[str]:
    """Each line as soon as it is there; bytes that are no text stand in it so that the line alone can be refused."""
    read = sys.stdin.buffer.readline if isinstance(sys.stdin, TextIOWrapper) else sys.stdin.readline
    while line := read():
        yield line.decode("utf-8", "surrogateescape") if isinstance(line, bytes) else line
