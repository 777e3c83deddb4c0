"""The shell around a command: what is handed in, what is shown, and what --json prints."""

import inspect
import json
from collections.abc import Iterator
from contextlib import redirect_stderr, redirect_stdout
from datetime import UTC, date, datetime
from io import StringIO
from typing import Annotated, Any

import pytest
import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import day
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import WrongInput
from obslog.grammar.typed_times import UnreadableDate
from tests.cli.commands import all_commands

NOW = datetime(2026, 3, 2, 21, 40, 0, 123456, tzinfo=UTC)
On = Annotated[date | None, day("--on", help="The day.")]


class Drive:
    """A program of one command, run with a clock that stands still and a database in a new folder."""

    def __init__(self, path: str) -> None:
        self.app = typer.Typer(add_completion=False)
        self._environment = {"OBSLOG_DB": path}

    def __call__(self, *words: str) -> str:
        out = StringIO()
        with redirect_stdout(out), redirect_stderr(StringIO()):
            state = State(clock=lambda: NOW, environment=self._environment, screen=Screen(out, StringIO()))
            self.app(args=list(words), obj=state, standalone_mode=False)
        return out.getvalue()


@pytest.fixture
def drive(tmp_path: Any) -> Drive:
    return Drive(str(tmp_path / "club.db"))


def show_pair(screen: Screen, value: dict[str, Any], loud: bool = False) -> None:
    screen.line(f"{value['name']}{'!' if loud else ''}")


def test_options_arrive_as_declared_and_the_value_is_shown(drive: Drive) -> None:
    @command(drive.app, "greet", show=show_pair)
    def greet(name: str, on: On = None, loud: bool = False) -> dict[str, Any]:
        assert on == date(2026, 3, 1)
        return {"name": name, "on": on}

    assert drive("Ines", "--on", "2026-03-01", "--loud") == "Ines!\n"
    assert json.loads(drive("Ines", "--on", "2026-03-01", "--json")) == {"name": "Ines", "on": "2026-03-01"}
    assert greet("Ines", date(2026, 3, 1)) == {"name": "Ines", "on": date(2026, 3, 1)}, (
        "a plain function still"
    )


def test_the_clock_and_an_open_database_are_handed_in(drive: Drive) -> None:
    from obslog.club.register.named_records import listed
    from obslog.records.database import Database

    @command(drive.app, "look", show=show_pair)
    def look(database: Database, now: datetime, state: State) -> dict[str, Any]:
        assert now == NOW.replace(microsecond=0)
        assert state.target.endswith("club.db")
        return {"name": len(listed(database, "member"))}

    assert drive() == "0\n"


def test_a_database_that_nobody_asks_for_is_not_made(drive: Drive, tmp_path: Any) -> None:
    @command(drive.app, "greet", show=show_pair)
    def greet() -> dict[str, Any]:
        return {"name": "Ines"}

    assert drive() == "Ines\n"
    assert list(tmp_path.iterdir()) == []


def test_a_date_that_is_none_is_refused_before_the_command_begins(drive: Drive) -> None:
    @command(drive.app, "greet", show=show_pair)
    def greet(on: On = None) -> dict[str, Any]:
        raise AssertionError("too late")

    with pytest.raises(UnreadableDate):
        drive("--on", "2026-02-30")


def test_without_a_show_there_is_no_json(drive: Drive) -> None:
    @command(drive.app, "act")
    def act(state: State) -> None:
        state.screen.line("done")

    assert drive() == "done\n"
    with pytest.raises(Exception, match="--json"):
        drive("--json")


def test_the_document_may_differ_from_the_value_and_a_last_look_may_raise(drive: Drive) -> None:
    def refuse(value: dict[str, Any]) -> None:
        raise WrongInput(value["name"], "Look again.")

    @command(drive.app, "check", show=show_pair, document=lambda value: [value["name"]], then=refuse)
    def check() -> dict[str, Any]:
        return {"name": "Damage"}

    with pytest.raises(WrongInput, match="Damage"):
        drive("--json")


def shows() -> Iterator[tuple[str, Any, Any]]:
    for words, built in all_commands():
        if show := getattr(built.callback, "show", None):
            yield " ".join(words), built.callback, show


BESIDES = 2  # the screen and the value


def test_every_show_function_asks_only_for_what_its_command_has() -> None:
    checked = 0
    for name, run, show in shows():
        known = {*inspect.signature(run).parameters, "now"}
        needed = [
            option
            for option, asked in list(inspect.signature(show).parameters.items())[BESIDES:]
            if asked.default is inspect.Parameter.empty
        ]
        assert set(needed) <= known, name
        checked += 1
    assert checked > 30
