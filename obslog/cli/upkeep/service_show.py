"""What is due, what to mend, and the maintenance schedule."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen

if TYPE_CHECKING:
    from obslog.club.upkeep.services_due import DueService
    from obslog.club.upkeep.task_states import Schedule
    from obslog.club.upkeep.work_orders import WorkOrder
    from obslog.records.database import Database

MOST_SAID = 2


def add_to(app: typer.Typer) -> None:
    command(app, "due", show=show_due)(list_due)
    command(app, "orders", show=show_orders)(list_orders)
    command(app, "routine", show=show_schedule)(show_routine)


def show_due(screen: Screen, found: "Sequence[DueService]") -> None:
    from obslog.club.upkeep.services_due import DueBy

    now = [due for due in found if due.basis is not DueBy.CONDITION]
    by_condition = [due for due in found if due.basis is DueBy.CONDITION]
    if not now:
        screen.note("Nothing is due.")
    else:
        screen.table(
            ["nights", "name", "due", "service"],
            [[due.nights_last_year, due.name, due.due_on, due.words] for due in now],
        )
        screen.note("The nights are those on which it was used in the last year.")
    if by_condition:
        screen.line()
        screen.line("Check whether it is time:", style="bold")
        for due in by_condition:
            screen.line(f"{due.name}: {due.words}", indent=2)


def list_due(
    database: "Database",
    now: datetime,
    days: Annotated[int, typer.Option("--days", min=0, help="Also what falls due within so many days.")] = 0,
) -> "Sequence[DueService]":
    """List what is due for service, the most used first.

    obslog service due --days 30
    """
    from obslog.club.register.club_day import club_day
    from obslog.club.upkeep.services_due import list_due

    return list_due(database, club_day(database, now), days)


def show_orders(screen: Screen, found: "Sequence[WorkOrder]", with_all: bool) -> None:
    listed = [order for order in found if with_all or not order.persons_step]
    if not listed:
        screen.note("Nothing to mend.")
    else:
        screen.table(
            ["reference", "name", "step", "since", "snags", "members", "what was said"],
            [
                [
                    order.reference,
                    order.name,
                    order.step,
                    order.since,
                    order.times,
                    order.members,
                    "; ".join(said.text for said in order.said[:MOST_SAID])
                    + (f" (and {len(order.said) - MOST_SAID} more)" if len(order.said) > MOST_SAID else ""),
                ]
                for order in listed
            ],
        )
    if left_out := len(found) - len(listed):
        are = "is" if left_out == 1 else "are"
        screen.note(f"{left_out} at steps that people do {are} left out; to see all, add --all.")


def list_orders(
    database: "Database",
    now: datetime,
    item: Annotated[str | None, typer.Argument(help="One item only.", show_default="all")] = None,
    with_all: Annotated[
        bool, typer.Option("--all", help="Also the steps that people do, such as keying in.")
    ] = False,
) -> "Sequence[WorkOrder]":
    """List the open snags as work orders, by item and step.

    obslog service orders

    A service closes the snags that it mends, by the reference of one of them or by the step.

    obslog service add Heron worm meshed --for verify
    """
    from obslog.club.register.club_day import club_day
    from obslog.club.upkeep.work_orders import work_orders

    return work_orders(database, club_day(database, now), item)


def show_schedule(screen: Screen, schedule: "Schedule") -> None:
    if schedule.name is None:
        for task in schedule.tasks:
            screen.line(f"{task.of}, {task.task}: {task.interval}", style="bold")
            screen.line(task.do, indent=2)
            if task.caution:
                screen.line(f"! {task.caution}", indent=2)
            screen.line(f"({task.source})", style="dim", indent=2)
        screen.line("The maker's instructions come first.")
        return
    if not schedule.states:
        screen.note(f"There is no maintenance schedule for {schedule.name}.")
        return
    screen.table(
        ["task", "how often", "last done", "due on", "", "what to do"],
        [
            [
                state.task.task,
                state.task.interval,
                state.last_on or "not on record",
                state.due_on,
                "due" if state.due else "",
                state.task.do,
            ]
            for state in schedule.states
        ],
    )
    for state in schedule.states:
        if state.task.caution:
            screen.line(f"! {state.task.task}: {state.task.caution}")


def show_routine(
    database: "Database",
    now: datetime,
    what: Annotated[
        str | None,
        typer.Argument(metavar="NAME", help="A kind of item, or one item by its name.", show_default="all"),
    ] = None,
) -> "Schedule":
    """Show the maintenance schedule, or what is due on one item.

    obslog service routine mount
    obslog service routine Heron
    """
    from obslog.club.register.club_day import club_day
    from obslog.club.upkeep.task_states import schedule

    return schedule(database, what, club_day(database, now))
