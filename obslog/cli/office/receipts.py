"""Receipts for items: put on record, and looked for."""

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command, first_of
from obslog.cli.terminal.options import ItemName, KindOption, day
from obslog.cli.terminal.screen import Screen
from obslog.errors import WrongInput

if TYPE_CHECKING:
    from obslog.club.office.receipts import ReceiptKnown, ReceiptLine
    from obslog.records.opening import Database


class ReceiptOnce(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "Name one file: a receipt to add, or after --check one to look for.",
            "obslog store receipt Heron heron.pdf, or obslog store receipt Heron --check heron.pdf",
        )


def receipt_command(app: typer.Typer) -> None:
    command(app, "receipt", show=show_receipt, document=first_of)(add_or_check_receipt)


def show_receipt(screen: Screen, told: "tuple[ReceiptLine | ReceiptKnown, str]") -> None:
    from obslog.club.office.receipts import ReceiptLine

    found, item = told
    if isinstance(found, ReceiptLine):
        screen.line(f"{found.file_name}: {'added to' if found.new else 'on record already for'} {item}")
        screen.line(f"SHA-256 {found.sha256}", indent=2)
    elif found.known:
        dated = f", of {found.dated_on}" if found.dated_on else ""
        screen.line(f"{found.file_name} is on record for {item} as {found.known_as}{dated}.")
    else:
        screen.line(f"{found.file_name} is not on record for {item}.")


def add_or_check_receipt(
    database: "Database",
    now: datetime,
    item: ItemName,
    file: Annotated[Path | None, typer.Argument(help="The receipt.", show_default=False)] = None,
    dated: Annotated[date | None, day("--dated", help="The day that stands on it.")] = None,
    check: Annotated[
        Path | None, typer.Option("--check", help="A file to look for among those on record.")
    ] = None,
    kind: KindOption = None,
) -> "tuple[ReceiptLine | ReceiptKnown, str]":
    """Put a receipt on record, by its file name and SHA-256.

    obslog store receipt Heron heron.pdf --dated 2026-03-01
    obslog store receipt Heron --check heron.pdf

    The file itself stays where it is. With --check: whether a file is, byte for byte, one that is on record.
    """
    from obslog.club.office.receipts import add_receipt, check_receipt
    from obslog.club.register.things import whole_name_of

    if (file is None) == (check is None):
        raise ReceiptOnce
    item = whole_name_of(database, item, kind)
    if file is None:
        assert check is not None
        return check_receipt(database, item, check, kind), item
    return add_receipt(database, item, file, now, dated_on=dated, kind=kind), item
