"""A full check of the database."""

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.errors import ObslogError
from obslog.vocabulary import counted

if TYPE_CHECKING:
    from obslog.club.keeping import KeptCheck
    from obslog.records.opening import Database

CHECKED_A_DAY = 3


class Damaged(ObslogError):
    def __init__(self, found: list[str]) -> None:
        super().__init__(
            "The database is damaged.", "Keep the file as it is, and go back to the newest copy."
        )
        self.details = found


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


def add_check(app: typer.Typer) -> None:
    """Put the command among those of the database."""

    @command(app, "check", show=show_health, then=refuse_damage)
    def check(database: "Database", now: datetime) -> "Health":
        """Look for damage in the whole database.

        What was kept of a few mounts, others each day, is computed again and compared.
        """
        from obslog.club.keeping import check_kept, mounts_to_keep
        from obslog.records.care.damage import complaints

        found = complaints(database.engine)
        if found:
            return Health(found, None)
        mounts = mounts_to_keep(database)
        first = now.toordinal() * CHECKED_A_DAY % max(len(mounts), 1)
        return Health(
            [], check_kept(database, [*mounts, *mounts][first : first + min(CHECKED_A_DAY, len(mounts))])
        )
