"""The history on the screen: the newest acts, what one of them did, and the life of a record."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.look.shown_values import shown
from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen

if TYPE_CHECKING:
    from obslog.club.history.field_words import FieldChange
    from obslog.club.history.told import ActHistory, ActLine, RecordHistory
    from obslog.records.database import Database

Record = Annotated[
    str | None,
    typer.Argument(
        metavar="RECORD",
        help="The name of an item, member, site or kit, or the reference of a record or act.",
        show_default=False,
    ),
]
Most = Annotated[int, typer.Option("--most", min=1, help="How many acts to show, the newest.")]


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's."""
    command(app, "history", show=show_history)(history)


def history(
    database: "Database", record: Record = None, most: Most = 20
) -> "Sequence[ActLine] | ActHistory | RecordHistory":
    """Show the newest acts, or the life of a record.

    With a name: when it came on record, who changed what, and from what to what. With the reference of an act: all
    that it did. Times are universal. An act is taken back by: undo REFERENCE.

    obslog history "Mill Field"
    """
    from obslog.club.history.told import history_of, newest_acts

    return newest_acts(database, most) if record is None else history_of(database, record, most)


def show_history(
    screen: Screen, told: "Sequence[ActLine] | ActHistory | RecordHistory", most: str = "--most"
) -> None:
    """Show what the history tells; `most` is how more of it is asked for."""
    from obslog.club.history.told import ActHistory, RecordHistory

    if isinstance(told, RecordHistory):
        _show_record(screen, told, most)
    elif isinstance(told, ActHistory):
        _show_act(screen, told, most)
    elif told:
        screen.table(
            ["when (UTC)", "reference", "who", "act"],
            [[_when(line), line.reference, line.who, _what(line)] for line in told],
        )
    else:
        screen.note("Nothing is on record yet. Begin here: obslog start")


def _show_record(screen: Screen, told: "RecordHistory", most: str) -> None:
    gone = "" if told.on_record else ", on record no more"
    screen.line(f"{_called(told.record, told.reference)}{gone}", style="bold")
    if told.left_out:
        screen.note(
            f"Older acts left out: {told.left_out}. To see them: {most} {told.left_out + len(told.entries)}"
        )
    if not told.entries:
        screen.note("The history says nothing of it.")
    for entry in told.entries:
        screen.line()
        screen.line(_head(entry.act), style="bold")
        _show_fields(screen, entry.what, entry.fields)


def _show_act(screen: Screen, told: "ActHistory", most: str) -> None:
    screen.line(_head(told.act), style="bold")
    for change in told.changes:
        screen.line()
        if change.records > 1:
            screen.line(f"{change.what}: {change.records} records of the kind {change.record}")
        else:
            screen.line(_called(change.record, change.reference))
            _show_fields(screen, change.what, change.fields)
    if not told.changes:
        screen.note("What it changed was not kept.")
    if told.left_out:
        screen.note(
            f"Changes left out: {told.left_out}. To see them: {most} {told.left_out + len(told.changes)}"
        )


def _called(record: str, reference: str | None) -> str:
    """A record with its reference, which stands once where there is nothing else to call it by."""
    return record if reference is None or record.endswith(f" {reference}") else f"{record} ({reference})"


def _show_fields(screen: Screen, what: str, fields: "Sequence[FieldChange]") -> None:
    if not fields:
        screen.line(what)
        return
    screen.line(f"{what}:")
    screen.fields((change.field, _from_to(what, change)) for change in fields)


def _from_to(what: str, change: "FieldChange") -> str:
    if what == "added":
        return change.after or "unknown"
    if what == "removed":
        return change.before or "unknown"
    return f"{change.before or 'unknown'} → {change.after or 'unknown'}"


def _head(line: "ActLine") -> str:
    parts = [_when(line), line.who, f"{_what(line)} ({line.reference})"]
    return "  ".join(shown(part, one_line=True) for part in parts if part)


def _what(line: "ActLine") -> str:
    return f"{line.act} (undone)" if line.undone_utc else line.act


def _when(line: "ActLine") -> str:
    return f"{line.at_utc:%Y-%m-%d %H:%M}"
