"""What two laptops say otherwise: listed, and settled."""

from collections.abc import Sequence
from datetime import datetime
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.english import counted
from obslog.errors import WrongInput

if TYPE_CHECKING:
    from obslog.club.together.contradictions import Conflict, Conflicts, OneSays
    from obslog.club.together.deciding import Decided
    from obslog.club.together.standing_words import ToSettle
    from obslog.records.database import Database


class Settle(StrEnum):
    CHOOSE = "choose"
    KEEP = "keep"
    DROP = "drop"


class ReferenceMissing(WrongInput):
    def __init__(self, settle: Settle) -> None:
        super().__init__(
            "Which conflict is not said.", f"Give its reference: obslog conflicts {settle} REFERENCE"
        )


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's own."""
    command(app, "conflicts", show=show_conflicts)(conflicts)


def show_conflicts(screen: Screen, found: "Conflicts | Decided") -> None:
    from obslog.club.together.deciding import Decided

    if isinstance(found, Decided):
        screen.line(found.sentence)
        screen.note("Take it back: obslog undo")
        return
    if not found.fields and not found.to_settle:
        screen.line("No two laptops contradict each other.")
    if found.fields:
        screen.line(f"{counted(len(found.fields), 'field')} that two laptops wrote:", style="bold")
    for conflict in found.fields:
        _show_field(screen, conflict)
    if found.fields:
        screen.note("To take the other value: obslog conflicts choose REFERENCE")
        screen.note("To keep what stands, and list it no more: obslog conflicts keep REFERENCE")
    show_to_settle(screen, found.to_settle)


def show_to_settle(screen: Screen, to_settle: "Sequence[ToSettle]", *, only_look: bool = False) -> None:
    """What is left to people; after a look not how to settle it, for typed now it would end what still stands."""
    if to_settle:
        screen.line("To be settled after the merge:" if only_look else "To be settled:", style="bold")
    for one in to_settle:
        screen.line(f"{one.reference}  {one.sentence}", indent=2, hang=8)
        if not only_look:
            screen.line(one.settle, indent=10)


def _show_field(screen: Screen, conflict: "Conflict") -> None:
    field = conflict.field.removesuffix("_id").replace("_", " ")
    screen.line(f"{conflict.reference}  {conflict.what}, {field}", indent=2, hang=8)
    if conflict.joined_to is not None:
        screen.line(f"was made one with {conflict.joined_to}", indent=10, hang=2)
    else:
        stands = "was removed" if conflict.removed else f"stands: {_value(conflict.stands)}"
        screen.line(f"{stands}{_by(conflict.stands)}", indent=10, hang=2)
    screen.line(f"lost: {_value(conflict.lost)}{_by(conflict.lost)}", indent=10, hang=2)


def _value(says: "OneSays") -> str:
    if isinstance(says.value, float):
        return f"{says.value:.10g}"
    return "nothing" if says.value is None else str(says.value)


def _by(says: "OneSays") -> str:
    if says.at_utc is None:
        return ""
    return f" ({says.who or 'somebody'}, {says.at_utc:%Y-%m-%d %H:%M} UTC)"


def conflicts(
    database: "Database",
    now: datetime,
    settle: Annotated[
        Settle | None,
        typer.Argument(
            metavar="choose|keep|drop",
            help="choose: take the other value; keep: what stands is right; drop: take off record what cannot stand.",
            show_default="only list them",
        ),
    ] = None,
    reference: Annotated[
        str | None, typer.Argument(help="The six characters before it in the list.", show_default=False)
    ] = None,
) -> "Conflicts | Decided":
    """List or settle what two laptops say otherwise.

    Of a field that two of them wrote the later value stands, and is listed until somebody decides. What cannot stand
    beside another, such as a second loan of one item, waits until that has ended, or is dropped.

    obslog conflicts choose 3fa92c
    """
    from obslog.club.together.contradictions import list_conflicts
    from obslog.club.together.deciding import choose, drop, keep

    if settle is None:
        return list_conflicts(database)
    if reference is None:
        raise ReferenceMissing(settle)
    decide = {Settle.CHOOSE: choose, Settle.KEEP: keep, Settle.DROP: drop}[settle]
    return decide(database, reference, now)
