"""The store-room: what the club owns, where it is, what it is worth, and what became of it."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog.cli.register.named_records import given
from obslog.cli.storeroom.store_files import file_commands
from obslog.cli.storeroom.store_show import list_document, show_list, show_page
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Cost, ItemName, Kind, KindOption, Officer, On, day
from obslog.errors import WrongInput
from obslog.vocabulary.storeroom import Acquired

if TYPE_CHECKING:
    from obslog.club.storeroom.store_list import StoreList
    from obslog.club.storeroom.store_page import StorePage
    from obslog.records.database import Database

app = typer.Typer(help="The store-room: what the club owns, and where it is.", no_args_is_help=True)

KitOrItem = Annotated[
    str, typer.Argument(help="The kit or item; capitals do not matter.", show_default=False)
]
Why = Annotated[str, typer.Option("--why", help="The reason: lost, stolen, broken...", show_default=False)]
LostOnLoan = Annotated[
    bool, typer.Option("--lost-on-loan", help="The borrower lost it; the rest of the loan goes on.")
]
CLEARED = (
    "tag",
    "serial",
    "maker",
    "model",
    "acquired",
    "acquired-on",
    "cost",
    "value",
    "valued-on",
    "valued-by",
    "place",
)


class NoSuchField(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(f"There is no field {text!r} to clear.", f"The fields are {', '.join(CLEARED)}.")


class GivenAndCleared(WrongInput):
    def __init__(self, field: str) -> None:
        super().__init__(f"The {field.replace('_', ' ')} is both given and cleared.", "Do one of the two.")


@command(app, "list", show=show_list, document=list_document)
def list_store(
    database: "Database",
    kind: Annotated[Kind | None, typer.Option("--kind", help="One kind only.")] = None,
    values: Annotated[
        bool, typer.Option("--values", help="What each is worth, with the sum, instead of the due date.")
    ] = False,
    missing: Annotated[bool, typer.Option("--missing", help="Only those that are missing.")] = False,
    with_retired: Annotated[
        bool, typer.Option("--with-retired", "--all", help="Also those that are retired.")
    ] = False,
    officer: Officer = False,
) -> "StoreList":
    """List every item and kit, and where each is.

    obslog store list --kind eyepiece

    Borrowers are named only with --officer.
    """
    from obslog.club.storeroom.store_list import StoreList, store_list

    lines = store_list(database, kind=kind, missing=missing, with_retired=with_retired, with_names=officer)
    return StoreList.of(database, lines)


@command(app, "show", show=show_page)
def show_item(
    database: "Database", now: datetime, item: KitOrItem, kind: KindOption = None, officer: Officer = False
) -> "StorePage":
    """Show one item with its details and history.

    obslog store show Heron

    Borrowers are named only with --officer.
    """
    from obslog.club.register.club_day import club_day
    from obslog.club.storeroom.store_page import store_page

    return store_page(database, item, club_day(database, now), kind=kind, with_names=officer)


@command(app, "note", show=show_page)
def note_details(
    database: "Database",
    now: datetime,
    item: ItemName,
    tag: Annotated[str | None, typer.Option("--tag", help="The club's tag on it.")] = None,
    serial: Annotated[str | None, typer.Option("--serial", help="The serial number.")] = None,
    maker: Annotated[str | None, typer.Option("--maker", help="Who made it.")] = None,
    model: Annotated[str | None, typer.Option("--model", help="The model.")] = None,
    acquired: Annotated[Acquired | None, typer.Option("--acquired", help="How the club got it.")] = None,
    acquired_on: Annotated[date | None, day("--acquired-on", help="The day the club got it.")] = None,
    cost: Cost = None,
    value: Annotated[
        float | None, typer.Option("--value", help="What replacing it would cost, in the club's currency.")
    ] = None,
    valued_on: Annotated[
        date | None, day("--valued-on", help="The day of that value.", show_default="today, with --value")
    ] = None,
    valued_by: Annotated[str | None, typer.Option("--valued-by", help="Who valued it.")] = None,
    place: Annotated[str | None, typer.Option("--place", help="Where it is kept.")] = None,
    clear: Annotated[
        list[str] | None,
        typer.Option("--clear", help="A field to make unknown again, by its name; once for each."),
    ] = None,
    kind: KindOption = None,
) -> "StorePage":
    """Record details of an item; the rest stays.

    obslog store note Heron --tag M-01 --value 900 --valued-by "Tomasz"

    A value is of the day on which it is given, unless --valued-on says another. Who valued it is shown with --officer.
    """
    from obslog.club.storeroom.inventory_details import write_paper

    values: dict[str, Any] = given(
        {
            "tag": tag,
            "serial": serial,
            "maker": maker,
            "model": model,
            "acquired": acquired,
            "acquired_on": acquired_on,
            "cost": cost,
            "value": value,
            "valued_on": valued_on,
            "valued_by": valued_by,
            "place": place,
        }
    )
    write_paper(database, item, values | _cleared(clear or [], values), now, kind=kind)
    return _page_of_item(database, now, item, kind)


def _cleared(fields: list[str], values: Mapping[str, Any]) -> dict[str, None]:
    """The columns to be emptied. Raises NoSuchField, GivenAndCleared."""
    columns: dict[str, None] = {}
    for field in fields:
        column = field.strip().casefold().replace("-", "_")
        if column.replace("_", "-") not in CLEARED:
            raise NoSuchField(field)
        if column in values:
            raise GivenAndCleared(column)
        columns[column] = None
    return columns


file_commands(app)


@command(app, "missing", show=show_page)
def item_missing(
    database: "Database",
    now: datetime,
    item: ItemName,
    on: On = None,
    lost_on_loan: LostOnLoan = False,
    kind: KindOption = None,
) -> "StorePage":
    """Record that an item is missing.

    obslog store missing "Wide 25"
    """
    from obslog.club.storeroom.missing import go_missing

    go_missing(database, item, now, kind=kind, on=on, lost_on_loan=lost_on_loan)
    return _page_of_item(database, now, item, kind)


@command(app, "found", show=show_page)
def item_found(
    database: "Database", now: datetime, item: ItemName, on: On = None, kind: KindOption = None
) -> "StorePage":
    """Record that a missing item has been found.

    obslog store found "Wide 25"
    """
    from obslog.club.storeroom.missing import be_found

    be_found(database, item, now, kind=kind, on=on)
    return _page_of_item(database, now, item, kind)


@command(app, "write-off", show=show_page)
def write_off_item(
    database: "Database",
    now: datetime,
    item: ItemName,
    why: Why,
    on: On = None,
    lost_on_loan: LostOnLoan = False,
    kind: KindOption = None,
) -> "StorePage":
    """Write an item off for good.

    obslog store write-off "Wide 25" --why "left on a car roof"

    It is retired from that day. An item on loan has to come back first, or is written off with --lost-on-loan.
    """
    from obslog.club.storeroom.retirement import write_off

    write_off(database, item, why, now, kind=kind, on=on, lost_on_loan=lost_on_loan)
    return _page_of_item(database, now, item, kind)


@command(app, "reinstate", show=show_page)
def reinstate_item(
    database: "Database", now: datetime, item: KitOrItem, on: On = None, kind: KindOption = None
) -> "StorePage":
    """Take back into use what was retired or written off.

    obslog store reinstate "Old tube"
    """
    from obslog.club.register.club_day import club_day
    from obslog.club.storeroom.retirement import reinstate
    from obslog.club.storeroom.store_page import store_page

    reinstate(database, item, now, kind=kind, on=on)
    return store_page(database, item, club_day(database, now), kind=kind)


def _page_of_item(database: "Database", now: datetime, item: str, kind: Kind | None) -> "StorePage":
    """The page of the item, though a kit may have the same name."""
    from obslog.club.register.club_day import club_day
    from obslog.club.storeroom.store_page import store_page

    return store_page(database, item, club_day(database, now), kind=kind, things_only=True)
