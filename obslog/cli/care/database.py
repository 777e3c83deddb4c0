"""The group of the database itself: where it is, and a copy of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.care.check import add_check
from obslog.cli.care.restore import add_restore, folder_of_copies
from obslog.cli.server import move, roles
from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.english import counted
from obslog.errors import ObslogError, WrongInput

if TYPE_CHECKING:
    from obslog.records.care.copying import Copied
    from obslog.records.database import Database

app = typer.Typer(help="The database: where it is, copies, health.", no_args_is_help=True)

MOST_KEPT = 3660
Target = Annotated[
    Path | None,
    typer.Argument(help="The file to copy to.", show_default="one with the time in its name", metavar="FILE"),
]
Into = Annotated[
    Path | None,
    typer.Option(
        "--into",
        help="The folder of the copies, where no FILE is named (or OBSLOG_BACKUPS).",
        metavar="FOLDER",
        show_default="one beside the database",
    ),
]


class FileAndFolder(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "A FILE and a folder for dated copies were named.",
            "Name a FILE, or the folder with --into, not both.",
        )


class DamagedCopy(ObslogError):
    """The copy is made, and is as damaged as the database."""

    def __init__(self, damage: list[str]) -> None:
        super().__init__(
            "The database is damaged, and so is the copy of it.",
            "No older copy was removed. See what is wrong: obslog db check. Then: obslog db restore",
        )
        from obslog.records.care.damage import first_few

        self.details = first_few(damage)


@dataclass(frozen=True, slots=True, kw_only=True)
class CopiesKept:
    """How many of the older copies are kept, where they have their time in their names."""

    days: Annotated[
        int,
        typer.Option(
            "--days", min=0, max=MOST_KEPT, help="Keep the newest copy of each of the last so many days."
        ),
    ] = 7
    weeks: Annotated[
        int, typer.Option("--weeks", min=0, max=MOST_KEPT, help="Keep one of each of the last so many weeks.")
    ] = 5
    months: Annotated[
        int,
        typer.Option("--months", min=0, max=MOST_KEPT, help="Keep one of each of the last so many months."),
    ] = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Backup:
    """A copy that was made and looked at: its size, the rows of each table, and which older copies were removed.

    `copies` is how many with a time in their names are kept of this database; None where a file was named.
    """

    copy: Path
    bytes: int
    rows: Mapping[str, int]
    damage: list[str]
    removed: list[Path]
    copies: int | None


def show_where(screen: Screen, found: dict[str, str]) -> None:
    screen.line(found["database"])


@command(app, "where", show=show_where)
def where(database: "Database") -> dict[str, str]:
    """Say which database is used."""
    return {"database": database.where}


def show_backup(screen: Screen, made: Backup) -> None:
    screen.note(f"Copied to {made.copy}")
    if made.removed:
        removed = counted(len(made.removed), "older copy", "older copies")
        screen.note(
            f"Removed {removed}; {made.copies} are kept." if made.copies != 1 else f"Removed {removed}."
        )


def refuse_damaged_copy(made: Backup) -> None:
    if made.damage:
        raise DamagedCopy(made.damage)


@command(app, "backup", show=show_backup, then=refuse_damaged_copy)
def backup(
    database: "Database",
    now: datetime,
    state: State,
    kept: CopiesKept,
    file: Target = None,
    into: Into = None,
) -> Backup:
    """Copy the database; it may be in use meanwhile.

    A plain copy of the file can miss the newest entries. The copy is read through before it counts as made. Without
    FILE it gets the time into its name, and of the older ones that this command made so many are kept as is said below;
    no other file is ever removed.

    obslog db backup

    obslog db backup club-copy.db
    """
    from obslog.records.care.copying import back_up
    from obslog.records.care.dated_copies import Keep, back_up_dated

    if file is not None:
        if into is not None:
            raise FileAndFolder
        copied = back_up(database.engine, file)
        return _told(copied, [], None)
    folder = into or folder_of_copies(state)
    is_new = into is not None and not into.exists()
    keep = Keep(days=kept.days, weeks=kept.weeks, months=kept.months)
    dated = back_up_dated(database.engine, folder, now, keep)
    if is_new:
        state.screen.note(f"{into} is a new folder: if a memory stick was meant, see whether it is in.")
    return _told(dated.copied, dated.removed, dated.kept)


def _told(copied: "Copied", removed: list[Path], copies: int | None) -> Backup:
    return Backup(
        copy=copied.file,
        bytes=copied.bytes,
        rows=copied.rows,
        damage=copied.damage,
        removed=removed,
        copies=copies,
    )


add_restore(app)
add_check(app)
move.add_to(app)
roles.add_to(app)
