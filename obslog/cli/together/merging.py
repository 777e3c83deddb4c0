"""Merging bundles of other laptops."""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.cli.together.conflicts import show_to_settle
from obslog.english import counted
from obslog.errors import quoted

if TYPE_CHECKING:
    from obslog.club.together.merged import Merged
    from obslog.records.database import Database


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's own."""
    command(app, "merge", show=show_merged)(merge)


def show_merged(screen: Screen, merged: "Merged") -> None:
    files = ", ".join(merged.files)
    if not merged.acts and not merged.changes and not merged.records:
        screen.line(f"{files}: all of it was on record already.")
    else:
        verb = "taken in" if merged.done else "would be taken in"
        screen.line(f"{files}: {counted(merged.acts, 'act')} {verb}.", style="bold")
    rows = [
        [kind, merged.came.get(kind, 0), merged.changed.get(kind, 0), merged.went.get(kind, 0)]
        for kind in sorted({*merged.came, *merged.changed, *merged.went})
    ]
    if rows:
        screen.table(["records", "new", "changed", "gone"], rows)
    for name in merged.contacts_gone:
        gone = "is gone here too" if merged.done else "would be gone here too"
        screen.line(f"The contact of {name} was removed on another laptop, and {gone}.")
    for sentence in merged.joined:
        screen.line(sentence)
    _show_forgotten(screen, merged)
    show_to_settle(screen, merged.to_settle, only_look=not merged.done)
    if merged.overwritten:
        see = "See them: obslog conflicts" if merged.done else "After the merge obslog conflicts shows them."
        screen.note(f"Fields that two laptops wrote: {merged.overwritten}. {see}")
    if merged.copy:
        screen.note(f"A copy of the file as it was: {merged.copy}")
        screen.note(f"What going back to it would lose: obslog db restore {quoted(merged.copy)} --look")
    if merged.removed:
        from obslog.records.care.copies_before import told_of

        screen.note(told_of(merged.removed))
    if not merged.done:
        screen.note("Nothing was changed; this was only a look.")


def _show_forgotten(screen: Screen, merged: "Merged") -> None:
    for name in merged.forgotten:
        becomes = "is" if merged.done else "would be"
        screen.line(
            f"A member was made nameless on another laptop, and {becomes} {name} here too. It cannot be undone."
        )
    if merged.copies:
        screen.line("These copies still hold the name; delete them when you need them no more:")
        for copy in merged.copies:
            screen.line(copy, indent=2)


def merge(
    database: "Database",
    now: datetime,
    files: Annotated[
        list[Path], typer.Argument(metavar="FILE", help="Bundles of others.", show_default=False)
    ],
    only_look: Annotated[bool, typer.Option("--look", help="Only say what would come of it.")] = False,
) -> "Merged":
    """Take in what other laptops know.

    Whole or not at all; the same bundle a second time adds nothing, and the order does not matter.

    obslog merge from-ines.bundle --look
    """
    from obslog.club.together.merging import merge_bundles

    return merge_bundles(database, files, now, only_look=only_look)
