"""Photographs of items: put on record, and looked for."""

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command, first_of
from obslog.cli.terminal.options import ItemName, KindOption, day
from obslog.cli.terminal.screen import Screen
from obslog.errors import WrongInput

if TYPE_CHECKING:
    from obslog.club.storeroom.inventory_details import FileKnown, PhotographLine
    from obslog.records.opening import Database


class PhotographOnce(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "Name one file: a photograph to add, or after --check one to look for.",
            "obslog store photo Heron heron.jpg, or obslog store photo Heron --check heron.jpg",
        )


def photo_command(app: typer.Typer) -> None:
    command(app, "photo", show=show_photograph, document=first_of)(add_or_check)


def show_photograph(screen: Screen, told: "tuple[PhotographLine | FileKnown, str]") -> None:
    from obslog.club.storeroom.inventory_details import PhotographLine

    found, item = told
    if isinstance(found, PhotographLine):
        screen.line(f"{found.file_name}: {'added to' if found.new else 'on record already for'} {item}")
        screen.line(f"SHA-256 {found.sha256}", indent=2)
    elif found.known:
        taken = f", taken {found.taken_on}" if found.taken_on else ""
        screen.line(f"{found.file_name} is on record for {item} as {found.known_as}{taken}.")
    else:
        screen.line(f"{found.file_name} is not on record for {item}.")


def add_or_check(
    database: "Database",
    now: datetime,
    item: ItemName,
    file: Annotated[Path | None, typer.Argument(help="The photograph.", show_default=False)] = None,
    taken: Annotated[date | None, day("--taken", help="The day it was taken.")] = None,
    check: Annotated[
        Path | None, typer.Option("--check", help="A file to look for among those on record.")
    ] = None,
    kind: KindOption = None,
) -> "tuple[PhotographLine | FileKnown, str]":
    """Put a photograph on record, by its file name and SHA-256.

    obslog store photo Heron heron.jpg --taken 2026-03-01
    obslog store photo Heron --check heron.jpg

    The file itself stays where it is. With --check: whether a file is, byte for byte, one that is on record.
    """
    from obslog.club.register.things import whole_name_of
    from obslog.club.storeroom.inventory_details import add_photograph, check_photograph

    if (file is None) == (check is None):
        raise PhotographOnce
    item = whole_name_of(database, item, kind)
    if file is None:
        assert check is not None
        return check_photograph(database, item, check, kind), item
    return add_photograph(database, item, file, now, taken_on=taken, kind=kind), item
