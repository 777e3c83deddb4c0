"""What all named records have in common on the command line: being added, listed, shown, edited and retired."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Name, On, WithRetired
from obslog.cli.terminal.screen import Screen
from obslog.english import with_article

if TYPE_CHECKING:
    from obslog.records.database import Database

Record = dict[str, Any]
Why = Annotated[str | None, typer.Option("--why", help="The reason.")]


def named_group(kind: str, help_text: str, columns: Sequence[str]) -> typer.Typer:
    """A group of commands for one kind, with list and show; add, edit and retire come from the kind's own file."""
    group = typer.Typer(help=help_text, no_args_is_help=True)

    def show_list(screen: Screen, found: list[Record], with_retired: bool) -> None:
        show_records(screen, kind, found, [*columns, *(["retired_on"] if with_retired else [])])

    @command(group, "list", show=show_list, help=f"List every {kind}.")
    def list_kind(database: "Database", with_retired: WithRetired = False) -> list[Record]:
        from obslog.club.register.named_records import listed

        return listed(database, kind, with_retired=with_retired)

    @command(group, "show", show=show_record, help=f"Show one {kind} with all that is on record.")
    def show_one(database: "Database", name: Name) -> Record:
        from obslog.club.register.named_records import shown

        return shown(database, kind, name)

    return group


def add_retire(group: typer.Typer, kind: str) -> None:
    """Give a group the command that takes one of its kind out of use."""

    @command(
        group, "retire", show=show_record, help=f"Retire {with_article(kind)}; its history stays on record."
    )
    def retire_one(database: "Database", now: datetime, name: Name, why: Why = None, on: On = None) -> Record:
        from obslog.club.register.club_day import day_meant
        from obslog.club.storeroom.retirement import retire

        return retire(database, kind, name, why, day_meant(database, on, now), now)


def show_records(screen: Screen, kind: str, found: list[Record], columns: Sequence[str]) -> None:
    """The records in a table of these columns."""
    if not found:
        screen.note(f"There is no {kind} yet. Add one: obslog {kind} add --help")
    else:
        screen.table([heading(c) for c in columns], [[record[c] for c in columns] for record in found])


def show_record(screen: Screen, record: Record) -> None:
    """One record with all that is known of it; what it has no need to say is left out."""
    hidden = {"retired_on", "retired_why", "note", "private"}
    screen.fields((heading(k), v) for k, v in record.items() if k not in hidden or v is not None)


def given(values: Record) -> Record:
    """The values that were given on the command line."""
    return {name: value for name, value in values.items() if value is not None}


_HEADINGS = {
    "lat_deg": "latitude",
    "lon_deg": "longitude",
    "elevation_m": "elevation m",
    "mount_type": "type",
    "focal_mm": "focal mm",
    "aperture_mm": "aperture mm",
    "field_deg": "field °",
    "field_stop_mm": "field stop mm",
    "sort": "category",
    "retired_on": "retired",
    "retired_why": "because",
}


def heading(column: str) -> str:
    """A column's name as a table shows it."""
    return _HEADINGS.get(column, column.replace("_", " "))
