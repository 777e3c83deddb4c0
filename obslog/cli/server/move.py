"""`db move`: a club from a file to a server, or back."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.english import counted

if TYPE_CHECKING:
    from obslog.club.moving import MovedClub
    from obslog.records.database import Database

MANY = 100_000  # rows of a table after which one who waits is told again
To = Annotated[
    str,
    typer.Option("--to", help="An empty database on a server, or a new file.", show_default=False),
]


def add_to(app: typer.Typer) -> None:
    """Put the command among those of the database."""
    command(app, "move", show=show_moved)(move)


def move(database: "Database", now: datetime, state: State, to: To) -> "MovedClub":
    """Copy the club to a server, or from one into a file.

    Every row is compared, and so are the answers of the main commands. The old database is not changed, and nobody can
    record anything in it until this has ended. A move that is broken off goes on when the same line is typed again.

    obslog db move --to postgresql+psycopg://club@server/club

    The password comes from libpq's own places: its password file, its service file, or the environment.
    """
    from obslog.club.moving import move_club

    def tell(table: str, there: int, every: int) -> None:
        if there % MANY == 0 or (there == every and every > MANY):
            state.screen.note(f"{table}: {there} of {every}")

    return move_club(database, to, now, state.screen.note, tell)


def show_moved(screen: Screen, moved: "MovedClub") -> None:
    tables = [table for table in moved.tables if table.rows]
    screen.line(f"The club is in {moved.database}: {counted(moved.rows, 'row')} in {len(tables)} tables.")
    screen.line(
        f"Every row is the same there, and so are {counted(moved.answers_compared, 'answer')} that were compared."
    )
    screen.line(
        f"{moved.left_at} was not changed. Write nothing to it any more: put it away as a copy, and set "
        f"OBSLOG_DB to the new place."
    )
