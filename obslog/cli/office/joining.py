"""Two spellings of one member, joined: shown first and asked about; one undo takes it back."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.register.own_name import follow_the_name
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Yes
from obslog.cli.terminal.questions import ask_first
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State

if TYPE_CHECKING:
    from obslog.club.office.joining import Joined
    from obslog.records.database import Database

Kept = Annotated[str, typer.Argument(help="The whole name that stays.", show_default=False)]
Other = Annotated[str, typer.Argument(help="The whole name that goes.", show_default=False)]
OnlyLook = Annotated[bool, typer.Option("--look", help="Only say what would be moved.")]
TheSame = Annotated[bool, typer.Option("--sure", help="They are one, though it looks like two people.")]


def show_joined(screen: Screen, joined: "Joined") -> None:
    if joined.done:
        screen.line(f"{joined.other} is {joined.kept} now.", style="bold")
    else:
        screen.line(f"Nothing was changed. {joined.other} would be {joined.kept}.", style="bold")
    if joined.moved:
        screen.table(["moved" if joined.done else "would be moved", "records"], joined.moved.items())
    for sign in joined.two_people:
        screen.line(f"They look like two people: {sign}.")
    screen.line(f"Note of {joined.kept}: {joined.note}")
    if joined.done:
        screen.line("Take it back: obslog undo")


def join_spellings(app: typer.Typer) -> None:
    """Put the command among those of members."""
    command(app, "same", show=show_joined)(same)


def same(
    database: "Database",
    now: datetime,
    state: State,
    name: Kept,
    other: Other,
    only_look: OnlyLook = False,
    sure: TheSame = False,
    yes: Yes = False,
) -> "Joined":
    """Join two spellings of one member.

    All that is recorded under the second name is moved to the first, whose note keeps the second. It is shown and
    asked about first; one undo takes it back. Two who were both present on a night are refused without --sure.

    obslog member same "Ines Okafor" "Ines Okafo" --look
    """
    from obslog.club.office.joining import join_members

    if not only_look and not yes:
        ahead = join_members(database, name, other, now, sure=sure, only_look=True)
        state.screen.note(f"{ahead.other} would be {ahead.kept}; {_counts(ahead)}.")
        for sign in ahead.two_people:
            state.screen.note(f"They look like two people: {sign}.")
        ask_first(state.screen, "Joining two members", "Join them?", can_be_undone=True)
    joined = join_members(database, name, other, now, sure=sure, only_look=only_look)
    if joined.done:
        follow_the_name(state, was=joined.other, now=joined.kept)
    return joined


def _counts(joined: "Joined") -> str:
    told = ", ".join(f"{table} {count}" for table, count in joined.moved.items())
    return f"to be moved: {told}" if told else "nothing is recorded under that name"
