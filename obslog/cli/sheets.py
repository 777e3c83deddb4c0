"""Arrivals in and out as sheets."""

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.club_sheets import add_to as add_club_sheets
from obslog.cli.open_log.observation_files import add_to as add_observations
from obslog.cli.terminal.command import command
from obslog.cli.terminal.keeping import compute_ahead
from obslog.cli.terminal.options import AsJson, MountOption, SiteOption, day
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.cli.whole_club.folder_of_sheets import add_to as add_whole_club
from obslog.english import counted

if TYPE_CHECKING:
    from obslog.club.sheets.arrivals_import import ImportResult
    from obslog.records.database import Database

import_app = typer.Typer(help="Import data.", no_args_is_help=True)
export_app = typer.Typer(help="Export data.", no_args_is_help=True)
add_club_sheets(import_app, export_app)
add_observations(import_app, export_app)
add_whole_club(import_app, export_app)


def show_import(screen: Screen, taken: "ImportResult", file: Path) -> None:
    was = "was" if taken.already_there == 1 else "were"
    there = f"; {taken.already_there} {was} on record already" if taken.already_there else ""
    screen.line(
        f"{file.name}: {counted(taken.added, 'arrival')} added in {counted(taken.setups_added, 'new set-up')} "
        f"and {counted(taken.nights_added, 'new night')}{there}."
    )
    if taken.names_made:
        screen.line(f"New on record: {', '.join(taken.names_made)}.")
    if taken.still_to_tell:
        screen.note("Before anything can be computed from them, give:")
        for line in taken.still_to_tell:
            screen.note(f"  {line}")


@command(import_app, "arrivals", show=show_import)
def import_arrivals(
    database: "Database",
    now: datetime,
    state: State,
    file: Annotated[Path, typer.Argument(help="The arrivals sheet, CSV in UTF-8.", show_default=False)],
    create: Annotated[
        bool, typer.Option("--create", help="Add sites, members, mounts and tubes that are not on record.")
    ] = False,
) -> "ImportResult":
    """Import an arrivals sheet, whole or not at all.

    A second time adds nothing.

    obslog import arrivals march.csv
    """
    from obslog.club.sheets.arrivals_files import import_arrivals

    with state.screen.progress("Importing", _rows(file)) as tick:
        taken = import_arrivals(database, file, now, create=create, tick=tick)
    if taken.added:
        compute_ahead(database, state.screen)
    return taken


@command(export_app, "arrivals")
def export_arrivals(
    database: "Database",
    state: State,
    file: Annotated[
        Path | None, typer.Argument(help="The file to write.", show_default="standard output")
    ] = None,
    mount: MountOption = None,
    site: SiteOption = None,
    first: Annotated[date | None, day("--from", help="The first night.")] = None,
    last: Annotated[date | None, day("--to", help="The last night.")] = None,
    as_json: AsJson = False,
) -> None:
    """Export arrivals as a sheet to import again.

    obslog export arrivals march.csv --from 2026-03-01 --to 2026-03-31
    """
    from obslog.club.sheets.arrivals_export import SheetChoice
    from obslog.club.sheets.arrivals_files import arrivals_as_records, export_arrivals, export_arrivals_to

    choice = SheetChoice(mount, site, first, last)
    if as_json:
        state.screen.json(arrivals_as_records(database, choice))
    elif file is None:
        with state.screen.raw_output() as out:
            export_arrivals(database, out, choice)
    else:
        count = export_arrivals_to(database, file, choice)
        state.screen.note(f"{counted(count, 'arrival')} written to {file}")


def _rows(file: Path) -> int:
    """About how many rows a file has, for the length of the bar; what can be read only once is left alone."""
    if not file.is_file():
        return 0
    try:
        with file.open("rb") as lines:
            return sum(block.count(b"\n") for block in iter(lambda: lines.read(1 << 20), b""))
    except OSError:
        return 0
