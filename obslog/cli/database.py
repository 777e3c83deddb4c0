"""The database itself: where it is, a copy of it, its health."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.server import move, roles
from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import ObslogError
from obslog.vocabulary import counted

if TYPE_CHECKING:
    from obslog.club.keeping import KeptCheck
    from obslog.records.opening import Database

app = typer.Typer(help="The database: where it is, copies, health.", no_args_is_help=True)

CHECKED_A_DAY = 3
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


@dataclass(frozen=True, slots=True)
class Health:
    """What the database complains of; where that is nothing, what became of the kept results that were checked."""

    complaints: list[str]
    kept: "KeptCheck | None"


def show_health(screen: Screen, found: Health) -> None:
    if not found.complaints:
        screen.line("No damage found.")
    if found.kept is None or not found.kept.computed_again:
        return
    again = counted(found.kept.computed_again, "kept result")
    if not found.kept.differ:
        screen.line(f"{again} computed again: no difference.")
        return
    screen.line(f"{again} computed again, and {len(found.kept.differ)} came out otherwise:")
    for what in found.kept.differ:
        screen.line(what, indent=2)
    screen.line(
        "All kept results were dropped; they are computed anew when they are needed. No record was touched."
    )


def refuse_damage(found: Health) -> None:
    if found.complaints:
        raise Damaged(found.complaints)


@command(app, "check", show=show_health, then=refuse_damage)
def check(database: "Database", now: datetime) -> "Health":
    """Look for damage in the whole database.

    What was kept of a few mounts, others each day, is computed again and compared.
    """
    from obslog.club.keeping import check_kept, mounts_to_keep
    from obslog.records.backup import complaints

    found = complaints(database.engine)
    if found:
        return Health(found, None)
    mounts = mounts_to_keep(database)
    first = now.toordinal() * CHECKED_A_DAY % max(len(mounts), 1)
    return Health(
        [], check_kept(database, [*mounts, *mounts][first : first + min(CHECKED_A_DAY, len(mounts))])
    )


move.add_to(app)
roles.add_to(app)
