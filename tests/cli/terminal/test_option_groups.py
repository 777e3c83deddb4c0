"""Options declared once as a record: typed one by one, handed in together."""

import inspect
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Annotated

import pytest
import typer

from obslog.cli.terminal.command import command, gathered, spread_out
from obslog.cli.terminal.options import day
from obslog.cli.terminal.screen import Screen
from tests.cli.terminal.test_command import Drive

On = Annotated[date | None, day("--on", help="The day.")]
Paper = Annotated[str, typer.Option("--paper", help="Which paper.")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrapping:
    paper: Paper = "plain"
    ribbon: Annotated[bool, typer.Option("--ribbon", help="With a ribbon.")] = False
    on: On = None


def wrap(what: str, *, small: bool = False, wrapping: Wrapping, copies: int = 1) -> None: ...


PARAMETERS = list(inspect.signature(wrap).parameters.values())


def test_the_fields_of_a_record_stand_where_the_record_stood() -> None:
    assert [p.name for p in spread_out(PARAMETERS)] == ["what", "small", "paper", "ribbon", "on", "copies"]


def test_a_field_keeps_its_default_and_what_is_declared_of_it() -> None:
    paper = next(p for p in spread_out(PARAMETERS) if p.name == "paper")
    assert (paper.default, paper.annotation) == ("plain", Paper)


def test_what_was_typed_is_put_together_again() -> None:
    typed = {"what": "a book", "small": True, "paper": "red", "ribbon": True, "on": None, "copies": 2}
    assert gathered(PARAMETERS, typed) == {
        "what": "a book",
        "small": True,
        "wrapping": Wrapping(paper="red", ribbon=True),
        "copies": 2,
    }


def test_a_name_may_stand_but_once_in_a_command() -> None:
    app = typer.Typer()
    with pytest.raises(ValueError, match="paper"):

        @command(app, "wrap")
        def twice(paper: str, wrapping: Wrapping) -> None: ...


@pytest.mark.parametrize(
    ("words", "wrapped"),
    [
        ([], Wrapping()),
        (["--ribbon", "--paper", "red"], Wrapping(paper="red", ribbon=True)),
        (["--on", "2026-03-01"], Wrapping(on=date(2026, 3, 1))),
    ],
)
def test_a_command_is_called_with_the_record_and_its_show_with_single_options(
    words: list[str], wrapped: Wrapping, tmp_path: Path
) -> None:
    drive, seen = Drive(str(tmp_path / "club.db")), list[object]()

    def show(screen: Screen, value: None, ribbon: bool) -> None:
        seen.append(ribbon)

    @command(drive.app, "wrap", show=show)
    def wrap(wrapping: Wrapping) -> None:
        seen.append(wrapping)

    drive(*words)
    assert seen == [wrapped, wrapped.ribbon]
