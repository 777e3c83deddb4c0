"""A whole club out into a folder of sheets, and in again."""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.english import counted

if TYPE_CHECKING:
    from obslog.club.whole_club.export_all import ClubWritten
    from obslog.club.whole_club.import_all import ClubTaken
    from obslog.records.database import Database


def add_to(imports: typer.Typer, exports: typer.Typer) -> None:
    """Put these commands among those that import and export."""
    command(exports, "all", show=show_written)(export_all)
    command(imports, "all", show=show_taken)(import_all)


def export_all(
    database: "Database",
    now: datetime,
    state: State,
    folder: Annotated[Path, typer.Argument(help="The folder to make.", show_default=False)],
    with_private: Annotated[
        bool, typer.Option("--with-private", help="Also how members are reached.")
    ] = False,
) -> "ClubWritten":
    """Export the whole club as a folder of sheets.

    A sheet for each table, and datapackage.json, which describes them. From it the club can be made again: see import
    all. The folder is closed to others.

    obslog export all club-sheets
    """
    from obslog.club.whole_club.export_all import export_all, rows_on_record

    with state.screen.progress("Exporting", rows_on_record(database)) as tick:
        return export_all(database, folder, now, with_private=with_private, tick=tick)


def import_all(
    database: "Database",
    now: datetime,
    state: State,
    folder: Annotated[Path, typer.Argument(help="The folder of sheets.", show_default=False)],
    as_it_stands: Annotated[
        bool,
        typer.Option("--as-it-stands", help="Although sheets were changed since they were exported."),
    ] = False,
) -> "ClubTaken":
    """Import a whole club from a folder of sheets.

    Into a new database only, whole or not at all.

    obslog import all club-sheets
    """
    from obslog.club.whole_club.import_all import import_all, rows_described

    with state.screen.progress("Importing", rows_described(folder)) as tick:
        return import_all(database, folder, now, as_it_stands=as_it_stands, tick=tick)


def show_written(screen: Screen, written: "ClubWritten") -> None:
    screen.line(
        f"{counted(written.rows, 'row')} written to {counted(len(written.sheets), 'sheet')} in {written.folder}."
    )
    screen.note("Left out:")
    for what, why in written.left_out.items():
        screen.note(f"  {what}: {why}", hang=4)


def show_taken(screen: Screen, taken: "ClubTaken") -> None:
    screen.line(f"{counted(taken.rows, 'row')} brought in from {counted(len(taken.sheets), 'sheet')}.")
    for line in taken.differ:
        screen.note(f"Taken as it stands: {line}", hang=2)
    if taken.noted:
        screen.note(
            f"Not as the history in the folder says, so noted as an act: {counted(taken.noted, 'record')}.",
            hang=2,
        )
    if taken.not_in_folder:
        screen.note(f"Not in the folder: {', '.join(taken.not_in_folder)}.", hang=2)
    if taken.not_read:
        screen.note(f"Not named in the description, and not read: {', '.join(taken.not_read)}.", hang=2)
