"""Writing bundles."""

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import SiteOption, day
from obslog.cli.terminal.screen import Screen
from obslog.english import counted
from obslog.errors import WrongInput

if TYPE_CHECKING:
    from obslog.club.together.writing import Written
    from obslog.records.database import Database

app = typer.Typer(help="Bundles: what this laptop knows, for others to merge.", no_args_is_help=True)


class PartSaidTwice(WrongInput):
    def __init__(self) -> None:
        super().__init__("What to write is said twice.", "Give one of --since, --new, --night and --all.")


def show_written(screen: Screen, written: "Written") -> None:
    parts = [counted(written.acts, "act"), counted(written.changes, "change")]
    if written.records:
        parts.append(f"{counted(written.records, 'record')} added or removed many at once")
    screen.line(f"{written.file}: {', '.join(parts)}; {written.bytes:,} bytes.")
    if written.private_kept:
        screen.note("Where private sites lie is told to 0.01° only.")
    screen.note(f"On the other laptop: obslog merge {Path(written.file).name}")


@command(app, "write", show=show_written)
def write(
    database: "Database",
    now: datetime,
    file: Annotated[Path, typer.Argument(help="The file to write.", show_default=False)],
    since: Annotated[
        date | None, day("--since", help="Only what was done on that day or later, UTC.")
    ] = None,
    new: Annotated[bool, typer.Option("--new", help="Only what no bundle written here has told.")] = False,
    night: Annotated[date | None, day("--night", help="Only one night, and what it refers to.")] = None,
    site: SiteOption = None,
    everything: Annotated[
        bool, typer.Option("--all", help="Everything; so it is if nothing is said.")
    ] = False,
    with_private: Annotated[
        bool,
        typer.Option("--with-private", help="With members' contacts, and where private sites lie exactly."),
    ] = False,
) -> "Written":
    """Write what is on record into a bundle.

    A bundle is one file for another laptop of the club, which takes it in with merge. Members' contacts and the exact
    places of private sites stay here unless you say otherwise.

    obslog bundle write from-ines.bundle
    """
    from obslog.club.together.writing import WhatToTell, write_bundle_to

    if sum((since is not None, new, night is not None or site is not None, everything)) > 1:
        raise PartSaidTwice
    what = WhatToTell(since=since, untold=new, night=night, site=site, with_private=with_private)
    return write_bundle_to(database, file, what, now)
