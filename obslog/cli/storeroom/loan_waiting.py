"""Waiting lists: who is put on one, who is taken off, and who waits."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.storeroom.loan_options import KitOrItem, MemberName
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import KindOption, Officer
from obslog.cli.terminal.screen import Screen

if TYPE_CHECKING:
    from obslog.club.storeroom.waiting_list import WaitingLine
    from obslog.records.database import Database


def add_to(app: typer.Typer) -> None:
    command(app, "reserve", show=show_waiting)(reserve)
    command(app, "withdraw", show=show_waiting)(withdraw)
    command(app, "waiting", show=show_waiting)(list_waiting)


def show_waiting(screen: Screen, lines: "Sequence[WaitingLine]") -> None:
    if not lines:
        screen.note("Nobody waits.")
        return
    named = any(line.member for line in lines)
    screen.table(
        ["item", "place", *(["member"] if named else []), "asked"],
        [[line.what, line.place, *([line.member] if named else []), line.asked_on] for line in lines],
    )


def reserve(
    database: "Database", now: datetime, item: KitOrItem, member: MemberName, kind: KindOption = None
) -> "Sequence[WaitingLine]":
    """Put a member at the end of a waiting list.

    obslog loan reserve "Evening kit" Tomasz
    """
    from obslog.club.storeroom.waiting_list import reserve, without_names

    waiting = reserve(database, item, member, now, kind=kind)
    return without_names(waiting, but=waiting[-1].member)


def withdraw(
    database: "Database", now: datetime, item: KitOrItem, member: MemberName, kind: KindOption = None
) -> "Sequence[WaitingLine]":
    """Take a member off a waiting list.

    obslog loan withdraw "Evening kit" Tomasz
    """
    from obslog.club.storeroom.waiting_list import withdraw, without_names

    return without_names(withdraw(database, item, member, now, kind=kind))


def list_waiting(
    database: "Database",
    item: Annotated[
        str | None, typer.Argument(help="One kit or item.", show_default="all waiting lists")
    ] = None,
    kind: KindOption = None,
    officer: Officer = False,
) -> "Sequence[WaitingLine]":
    """Show how many wait for what, in order.

    obslog loan waiting "Evening kit"

    Members are named only with --officer.
    """
    from obslog.club.storeroom.waiting_list import waiting_list, without_names

    lines = waiting_list(database, item, kind)
    return lines if officer else without_names(lines)
