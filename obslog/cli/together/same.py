"""Two records that are one: shown first and asked about; one undo takes it back."""

from datetime import datetime
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.questions import ask_first
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State

if TYPE_CHECKING:
    from obslog.club.together.sameness import MadeOne
    from obslog.records.database import Database


class NamedKind(StrEnum):
    """What has a name, and may have been written twice."""

    SITE = "site"
    MEMBER = "member"
    MOUNT = "mount"
    TUBE = "tube"
    EYEPIECE = "eyepiece"
    ITEM = "item"
    KIT = "kit"


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's own."""
    command(app, "same", show=show_made_one)(same)


def show_made_one(screen: Screen, made: "MadeOne") -> None:
    if made.done:
        screen.line(f"{made.other} is {made.kept} now.", style="bold")
    else:
        screen.line(f"Nothing was changed. {made.other} would be {made.kept}.", style="bold")
    if made.moved:
        screen.table(["moved" if made.done else "would be moved", "records"], made.moved.items())
    for sign in made.two:
        screen.line(f"They look like two: {sign}.")
    if made.done:
        screen.line("Take it back: obslog undo")


def same(
    database: "Database",
    now: datetime,
    state: State,
    kept: Annotated[str, typer.Argument(help="The whole name that stays.", show_default=False)],
    other: Annotated[str, typer.Argument(help="The whole name that goes.", show_default=False)],
    kind: Annotated[
        NamedKind | None,
        typer.Option("--kind", help="Of which kind both are, where two of several have these names."),
    ] = None,
    only_look: Annotated[bool, typer.Option("--look", help="Only say what would be moved.")] = False,
    sure: Annotated[bool, typer.Option("--sure", help="They are one, though it looks like two.")] = False,
    yes: Annotated[bool, typer.Option("--yes", help="Do it without asking first.")] = False,
) -> "MadeOne":
    """Join two records that are one.

    Two members, sites, kits, items of one kind, or two nights by date and site. All that is recorded under the second
    is moved to the first, and so is what another laptop sends of it later. It is shown and asked about first.

    obslog same "Mill Field" "Mill Feild" --look
    """
    from obslog.club.together.sameness import make_same

    if not only_look and not yes:
        ahead = make_same(database, kept, other, now, sure=sure, only_look=True, kind=kind)
        told = ", ".join(f"{table} {count}" for table, count in ahead.moved.items())
        state.screen.note(
            f"{ahead.other} would be {ahead.kept}; {told or 'nothing is recorded under that name'}."
        )
        for sign in ahead.two:
            state.screen.note(f"They look like two: {sign}.")
        ask_first(state.screen, "Joining two records", "Join them?", can_be_undone=True)
    return make_same(database, kept, other, now, sure=sure, only_look=only_look, kind=kind)
