"""Kits: items lent together."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.register.named_records import Why, add_retire, given
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import KindOption, Note, Officer, On, Rename, WithRetired
from obslog.cli.terminal.screen import Screen
from obslog.english import counted

if TYPE_CHECKING:
    from obslog.club.storeroom.kits import KitPage
    from obslog.records.database import Database

app = typer.Typer(help="Kits: items lent together.", no_args_is_help=True)

KitName = Annotated[str, typer.Argument(help="The kit; capitals do not matter.", show_default=False)]
Part = Annotated[str, typer.Argument(help="The part.", show_default=False)]
Days = Annotated[
    int | None, typer.Option("--loan-days", help="How many days it is lent for, if not the club's term.")
]
Weight = Annotated[float | None, typer.Option("--weight-kg", help="What the whole kit weighs.")]


def show_page(screen: Screen, page: "KitPage") -> None:
    from obslog.club.storeroom.custody import out_until

    term = (
        f"lent for {counted(page.loan_days, 'day')}" if page.loan_days else "lent for the club's usual term"
    )
    weight = f"; {page.weight_kg:g} kg" if page.weight_kg is not None else ""
    complete = "complete" if page.complete else "not complete"
    standing = f"retired on {page.retired_on}" if page.retired_on else f"{complete}; {term}"
    screen.line(f"{page.name}: {standing}{weight}", style="bold")
    if page.due_on:
        screen.line(out_until(page.with_whom, page.due_on))
    screen.table(["part", "kind", "where"], [[part.part, part.kind, part.where] for part in page.parts])
    if page.note:
        screen.fields([("note", page.note)])


@command(app, "add", show=show_page)
def add_kit(
    database: "Database",
    now: datetime,
    kit: KitName,
    parts: Annotated[
        list[str] | None,
        typer.Option("--part", help="An item on record, or else a label; once for each part."),
    ] = None,
    loan_days: Days = None,
    weight_kg: Weight = None,
    note: Note = None,
) -> "KitPage":
    """Put a kit on record.

    obslog kit add "Evening kit" --part Heron --part "Wide 25" --part "dust cap"
    """
    from obslog.club.storeroom.kits import add_kit

    return add_kit(database, kit, parts or [], now, loan_days=loan_days, weight_kg=weight_kg, note=note)


@command(app, "edit", show=show_page)
def edit_kit(
    database: "Database",
    now: datetime,
    kit: KitName,
    loan_days: Days = None,
    weight_kg: Weight = None,
    rename: Rename = None,
    note: Note = None,
) -> "KitPage":
    """Change a kit's term, weight, note or name.

    obslog kit edit "Evening kit" --weight-kg 9.5
    """
    from obslog.club.storeroom.kits import edit_kit

    values = given({"loan_days": loan_days, "weight_kg": weight_kg, "note": note})
    return edit_kit(database, kit, values, now, rename)


@command(app, "put", show=show_page)
def put_part(
    database: "Database", now: datetime, kit: KitName, part: Part, kind: KindOption = None
) -> "KitPage":
    """Put a part into a kit.

    obslog kit put "Evening kit" "Stop 20"
    """
    from obslog.club.storeroom.kits import add_part

    return add_part(database, kit, part, now, kind=kind)


@command(app, "remove", show=show_page)
def remove_part(
    database: "Database",
    now: datetime,
    kit: KitName,
    part: Part,
    why: Why = None,
) -> "KitPage":
    """Take a part out of a kit; the item stays on record.

    obslog kit remove "Evening kit" "Stop 20"
    """
    from obslog.club.storeroom.kits import remove_part

    return remove_part(database, kit, part, why, now)


@command(app, "replace", show=show_page)
def replace_part(
    database: "Database",
    now: datetime,
    kit: KitName,
    part: Part,
    by: Annotated[
        str, typer.Argument(metavar="REPLACEMENT", help="What takes its place.", show_default=False)
    ],
) -> "KitPage":
    """Put another part in a part's place.

    obslog kit replace "Evening kit" "Wide 25" "Stop 20"
    """
    from obslog.club.storeroom.kits import replace_part

    return replace_part(database, kit, part, by, now)


@command(app, "missing", show=show_page)
def part_missing(database: "Database", now: datetime, kit: KitName, part: Part, on: On = None) -> "KitPage":
    """Record that a part of a kit is missing.

    obslog kit missing "Evening kit" "Wide 25"

    For an item on record, store missing does the same.
    """
    from obslog.club.storeroom.missing import part_goes_missing

    return part_goes_missing(database, kit, part, now, on=on)


@command(app, "found", show=show_page)
def part_found(database: "Database", now: datetime, kit: KitName, part: Part, on: On = None) -> "KitPage":
    """Record that a missing part has been found.

    obslog kit found "Evening kit" "Wide 25"
    """
    from obslog.club.storeroom.missing import part_is_found

    return part_is_found(database, kit, part, now, on=on)


@command(app, "show", show=show_page)
def show_kit(database: "Database", kit: KitName, officer: Officer = False) -> "KitPage":
    """Show a kit, its parts, and where each part is.

    obslog kit show "Evening kit"

    Borrowers are named only with --officer.
    """
    from obslog.club.storeroom.kits import show_kit

    return show_kit(database, kit, with_names=officer)


def show_kits(screen: Screen, kits: "Sequence[KitPage]", officer: bool) -> None:
    if not kits:
        screen.note("There is no kit yet. Add one: obslog kit add --help")
        return
    screen.table(
        ["kit", "parts", "complete", *(["with"] if officer else []), "due"],
        [
            [kit.name, len(kit.parts), kit.complete, *([kit.with_whom] if officer else []), kit.due_on]
            for kit in kits
        ],
    )


@command(app, "list", show=show_kits)
def list_kits(
    database: "Database", with_retired: WithRetired = False, officer: Officer = False
) -> "Sequence[KitPage]":
    """List every kit; borrowers are named only with --officer."""
    from obslog.club.storeroom.kits import list_kits

    return list_kits(database, with_retired=with_retired, with_names=officer)


add_retire(app, "kit")
