"""What is due, what to mend, the routine, and batteries."""

from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.options import AsJson
from obslog.cli.terminal.state import State, state_of
from obslog.times import read_date

if TYPE_CHECKING:
    from obslog.club.upkeep.batteries import BatteryPage
    from obslog.club.upkeep.routine_page import RoutinePage

MOST_SAID = 2


def add_to(app: typer.Typer) -> None:
    for name, command in (("due", due), ("orders", orders), ("routine", routine), ("battery", battery)):
        app.command(name)(command)


def due(
    context: typer.Context,
    days: Annotated[int, typer.Option("--days", min=0, help="Also what falls due within so many days.")] = 0,
    as_json: AsJson = False,
) -> None:
    """What is due for service, first what affects the most nights of use: obslog service due --days 30"""
    from obslog.club.upkeep.services_due import Basis, list_due

    state = state_of(context)
    with state.database() as database:
        found = list_due(database, state.now().date(), days)
    if as_json:
        state.screen.json(found)
        return
    now = [one for one in found if one.basis is not Basis.CONDITION]
    by_condition = [one for one in found if one.basis is Basis.CONDITION]
    if not now:
        state.screen.note("Nothing is due.")
    else:
        state.screen.table(
            ["nights", "name", "due", "what"],
            [[one.nights_last_year, one.name, one.due_on, one.words] for one in now],
        )
        state.screen.note("The nights are those of use in the last year.")
    if by_condition:
        state.screen.line()
        state.screen.line("Look and judge:", style="bold")
        for one in by_condition:
            state.screen.line(f"{one.name}: {one.words}", indent=2)


def orders(
    context: typer.Context,
    name: Annotated[str | None, typer.Argument(help="One thing only.", show_default="all")] = None,
    with_all: Annotated[
        bool, typer.Option("--all", help="Also the steps that people do, such as keying in.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Open snags as work orders, by thing and step: obslog service orders

    Close one by the service that mends it: obslog service add Heron worm meshed --for MARK, or --for STEP.
    """
    from obslog.club.upkeep.work_orders import work_orders

    state = state_of(context)
    with state.database() as database:
        found = work_orders(database, state.now().date(), name)
    if as_json:
        state.screen.json(found)
        return
    listed = [order for order in found if with_all or not order.persons_step]
    if not listed:
        state.screen.note("Nothing to mend.")
    else:
        state.screen.table(
            ["mark", "name", "step", "since", "times", "members", "what was said"],
            [
                [
                    order.mark,
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
        state.screen.note(f"{left_out} at steps that people do are left out; they too: --all")


def routine(
    context: typer.Context,
    what: Annotated[
        str | None,
        typer.Argument(metavar="[KIND|NAME]", help="A kind of thing, or one thing.", show_default="all"),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """What is done to each kind of thing and how often; of one thing, what is due: obslog service routine Heron"""
    from obslog.club.upkeep.routine_page import routine_page

    state = state_of(context)
    with state.database() as database:
        page = routine_page(database, what, state.now().date())
    if as_json:
        state.screen.json(page)
    else:
        _show_routine(state, page)


def _show_routine(state: State, page: "RoutinePage") -> None:
    screen = state.screen
    if page.name is None:
        for task in page.tasks:
            screen.line(f"{task.of}, {task.task}: {task.interval}", style="bold")
            screen.line(task.do, indent=2)
            if task.caution:
                screen.line(f"! {task.caution}", indent=2)
            screen.line(f"({task.source})", style="dim", indent=2)
        screen.line("The maker's instructions come first.")
        return
    if not page.states:
        screen.note(f"There is no routine for {page.name}.")
        return
    screen.table(
        ["task", "how often", "last noted", "due on", "", "what to do"],
        [
            [
                s.task.task,
                s.task.interval,
                s.last_on or "never noted",
                s.due_on,
                "due" if s.due else "",
                s.task.do,
            ]
            for s in page.states
        ],
    )
    for s in page.states:
        if s.task.caution:
            screen.line(f"! {s.task.task}: {s.task.caution}")


def battery(
    context: typer.Context,
    name: Annotated[str, typer.Argument(help="The battery.", show_default=False)],
    rest_volts: Annotated[float | None, typer.Option("--rest-volts", help="At rest.")] = None,
    load_volts: Annotated[float | None, typer.Option("--load-volts", help="Under load.")] = None,
    capacity_percent: Annotated[
        float | None, typer.Option("--capacity-percent", help="What is left of its capacity.")
    ] = None,
    on: Annotated[str | None, typer.Option("--on", help="The day.", show_default="today")] = None,
    as_json: AsJson = False,
) -> None:
    """Note a battery's test, or without numbers show its tests.

    obslog service battery 'Battery grey' --rest-volts 12.7 --load-volts 11.9 --capacity-percent 82
    """
    from obslog.club.upkeep.batteries import battery_page, note_test

    state = state_of(context)
    with state.database() as database:
        if all(told is None for told in (on, rest_volts, load_volts, capacity_percent)):
            page = battery_page(database, name)
        else:
            page = note_test(
                database,
                name,
                state.now(),
                on=read_date(on) if on else None,
                rest_volts=rest_volts,
                load_volts=load_volts,
                capacity_percent=capacity_percent,
            )
    if as_json:
        state.screen.json(page)
    else:
        _show_battery(state, page)


def _show_battery(state: State, page: "BatteryPage") -> None:
    screen = state.screen
    screen.line(page.name, style="bold")
    if page.tests:
        screen.table(
            ["day", "V at rest", "V under load", "% of capacity"],
            [[t.tested_on, t.rest_volts, t.load_volts, t.capacity_percent] for t in page.tests],
        )
    else:
        screen.note("No tests on record.")
    if page.warning:
        screen.line(f"!! {page.warning}", style="bold")
    screen.line(" ".join(page.cautions))
