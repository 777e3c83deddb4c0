"""Arrivals in and out as sheets."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.options import AsJson, MountOption, SiteOption
from obslog.cli.terminal.state import State, state_of
from obslog.times import read_date
from obslog.vocabulary import counted

if TYPE_CHECKING:
    from obslog.club.sheets.arrivals_import import ImportResult

import_app = typer.Typer(help="Import data.", no_args_is_help=True)
export_app = typer.Typer(help="Export data.", no_args_is_help=True)


@import_app.command("arrivals")
def import_(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(help="The arrivals sheet, CSV in UTF-8.", show_default=False)],
    create: Annotated[
        bool, typer.Option("--create", help="Add sites, members, mounts and tubes that are not on record.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Import an arrivals sheet: whole or not at all; a second time adds nothing.

    obslog import arrivals march.csv
    """
    from obslog.club.sheets.arrivals_files import import_arrivals

    state = state_of(context)
    with state.database() as database, state.screen.progress("Importing", _rows(file)) as tick:
        taken = import_arrivals(database, file, state.now(), create=create, tick=tick)
    if as_json:
        state.screen.json(taken)
    else:
        _present(state, file, taken)


@export_app.command("arrivals")
def export(
    context: typer.Context,
    file: Annotated[Path | None, typer.Argument(help="Where to.", show_default="standard output")] = None,
    mount: MountOption = None,
    site: SiteOption = None,
    first: Annotated[str | None, typer.Option("--from", help="The first night, 2026-03-02.")] = None,
    last: Annotated[str | None, typer.Option("--to", help="The last night.")] = None,
    as_json: AsJson = False,
) -> None:
    """Export arrivals as a sheet that can be imported again.

    obslog export arrivals march.csv --from 2026-03-01 --to 2026-03-31
    """
    from obslog.club.sheets.arrivals_files import (
        SheetChoice,
        arrivals_as_records,
        export_arrivals,
        export_arrivals_to,
    )

    state = state_of(context)
    choice = SheetChoice(mount, site, read_date(first) if first else None, read_date(last) if last else None)
    with state.database() as database:
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


def _present(state: State, file: Path, taken: "ImportResult") -> None:
    was = "was" if taken.already_there == 1 else "were"
    there = f"; {taken.already_there} {was} on record already" if taken.already_there else ""
    state.screen.line(
        f"{file.name}: {counted(taken.added, 'arrival')} added in {counted(taken.setups_added, 'new set-up')} "
        f"and {counted(taken.nights_added, 'new night')}{there}."
    )
    if taken.names_made:
        state.screen.line(f"New on record: {', '.join(taken.names_made)}.")
    if taken.still_to_tell:
        state.screen.note("Before anything can be computed from them, give:")
        for command in taken.still_to_tell:
            state.screen.note(f"  {command}")
