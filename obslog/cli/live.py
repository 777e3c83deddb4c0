"""What the set-up that is going on tells already: the answers of `pointing now`."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.caution import show_caution
from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen

if TYPE_CHECKING:
    from collections.abc import Sequence

    from obslog.club.live.answers import LiveAnswer
    from obslog.records.database import Database

OpenMount = Annotated[str | None, typer.Argument(help="The mount.", show_default="that of the open set-up")]


def add_to(app: typer.Typer) -> None:
    """Put this command among those of pointing."""
    command(app, "now", show=show_answers)(answers)


def show_answers(screen: Screen, found: "Sequence[LiveAnswer]") -> None:
    """The cautions, then a line for each answer."""
    for answer in found:
        if answer.is_caution:
            show_caution(screen, answer.words)
        else:
            screen.line(answer.words)
    if not found:
        screen.line("Nothing to say: what is on record fits.")


def answers(database: "Database", now: datetime, mount: OpenMount = None) -> "Sequence[LiveAnswer]":
    """Say what the open set-up tells so far, and what to do.

    Polar axis, arrivals that do not fit, the next star to sync on, where go-tos land, and with which eyepiece.

    obslog pointing now Heron
    """
    from obslog.club.live.answers_now import answers_of_open_setup

    return answers_of_open_setup(database, mount, now)
