"""The database itself: where it is, a copy of it, its health."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import ObslogError

if TYPE_CHECKING:
    from obslog.records.opening import Database

app = typer.Typer(help="The database: where it is, copies, health.", no_args_is_help=True)

Target = Annotated[Path, typer.Argument(help="The file to copy to.", show_default=False)]


class Damaged(ObslogError):
    def __init__(self, found: list[str]) -> None:
        super().__init__(
            "The database is damaged.", "Keep the file as it is, and go back to the newest copy."
        )
        self.details = found


def show_where(screen: Screen, found: dict[str, str]) -> None:
    screen.line(found["database"])


@command(app, "where", show=show_where)
def where(database: "Database") -> dict[str, str]:
    """Say which database is used."""
    return {"database": database.where}


@command(app, "backup")
def backup(database: "Database", state: State, file: Target) -> None:
    """Copy the database; it may be in use meanwhile.

    A plain copy of the file can miss the newest entries.

    obslog db backup club-copy.db
    """
    from obslog.records.backup import back_up

    back_up(database.engine, file)
    state.screen.note(f"Copied to {file}")


def show_health(screen: Screen, found: dict[str, list[str]]) -> None:
    if not found["complaints"]:
        screen.line("No damage found.")


def refuse_damage(found: dict[str, list[str]]) -> None:
    if found["complaints"]:
        raise Damaged(found["complaints"])


@command(app, "check", show=show_health, then=refuse_damage)
def check(database: "Database") -> dict[str, list[str]]:
    """Look for damage in the whole database."""
    from obslog.records.backup import complaints

    return {"complaints": complaints(database.engine)}
