"""Photographs of items and receipts for them: put on record, and looked for."""

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command, first_of
from obslog.cli.terminal.options import ItemName, KindOption, day
from obslog.cli.terminal.screen import Screen
from obslog.errors import WrongInput

if TYPE_CHECKING:
    from obslog.club.storeroom.proof_files import (
        PhotographKnown,
        PhotographLine,
        ReceiptKnown,
        ReceiptLine,
    )
    from obslog.records.database import Database

Check = Annotated[Path | None, typer.Option("--check", help="A file to look for among those on record.")]


class OneFile(WrongInput):
    def __init__(self, called: str, word: str, example: str) -> None:
        super().__init__(
            f"Name one file: {called} to add, or after --check one to look for.",
            f"obslog store {word} Heron {example}, or obslog store {word} Heron --check {example}",
        )


def file_commands(app: typer.Typer) -> None:
    command(app, "photo", show=show_photograph, document=first_of)(add_or_check_photograph)
    command(app, "receipt", show=show_receipt, document=first_of)(add_or_check_receipt)


def show_photograph(screen: Screen, told: "tuple[PhotographLine | PhotographKnown, str]") -> None:
    found, item = told
    _show(screen, found, item, f", taken {found.taken_on}" if found.taken_on else "")


def show_receipt(screen: Screen, told: "tuple[ReceiptLine | ReceiptKnown, str]") -> None:
    found, item = told
    _show(screen, found, item, f", of {found.dated_on}" if found.dated_on else "")


def add_or_check_photograph(
    database: "Database",
    now: datetime,
    item: ItemName,
    file: Annotated[Path | None, typer.Argument(help="The photograph.", show_default=False)] = None,
    taken: Annotated[date | None, day("--taken", help="The day it was taken.")] = None,
    check: Check = None,
    kind: KindOption = None,
) -> "tuple[PhotographLine | PhotographKnown, str]":
    """Put a photograph on record, by its file name and SHA-256.

    obslog store photo Heron heron.jpg --taken 2026-03-01
    obslog store photo Heron --check heron.jpg

    The file itself stays where it is. With --check: whether a file is, byte for byte, one that is on record.
    """
    from obslog.club.register.things import whole_name_of
    from obslog.club.storeroom.proof_files import add_photograph, check_photograph

    if (file is None) == (check is None):
        raise OneFile("a photograph", "photo", "heron.jpg")
    item = whole_name_of(database, item, kind)
    if check is not None:
        return check_photograph(database, item, check, kind), item
    assert file is not None
    return add_photograph(database, item, file, now, taken_on=taken, kind=kind), item


def add_or_check_receipt(
    database: "Database",
    now: datetime,
    item: ItemName,
    file: Annotated[Path | None, typer.Argument(help="The receipt.", show_default=False)] = None,
    dated: Annotated[date | None, day("--dated", help="The day that stands on it.")] = None,
    check: Check = None,
    kind: KindOption = None,
) -> "tuple[ReceiptLine | ReceiptKnown, str]":
    """Put a receipt on record, by its file name and SHA-256.

    obslog store receipt Heron heron.pdf --dated 2026-03-01
    obslog store receipt Heron --check heron.pdf

    The file itself stays where it is. With --check: whether a file is, byte for byte, one that is on record.
    """
    from obslog.club.register.things import whole_name_of
    from obslog.club.storeroom.proof_files import add_receipt, check_receipt

    if (file is None) == (check is None):
        raise OneFile("a receipt", "receipt", "heron.pdf")
    item = whole_name_of(database, item, kind)
    if check is not None:
        return check_receipt(database, item, check, kind), item
    assert file is not None
    return add_receipt(database, item, file, now, dated_on=dated, kind=kind), item


def _show(
    screen: Screen,
    found: "PhotographLine | ReceiptLine | PhotographKnown | ReceiptKnown",
    item: str,
    of_day: str,
) -> None:
    from obslog.club.storeroom.proof_files import PhotographLine, ReceiptLine

    if isinstance(found, PhotographLine | ReceiptLine):
        screen.line(f"{found.file_name}: {'added to' if found.new else 'on record already for'} {item}")
        screen.line(f"SHA-256 {found.sha256}", indent=2)
    elif found.known:
        screen.line(f"{found.file_name} is on record for {item} as {found.known_as}{of_day}.")
    else:
        screen.line(f"{found.file_name} is not on record for {item}.")
