"""Batteries: their tests."""

from datetime import date, datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import On
from obslog.cli.terminal.screen import Screen

if TYPE_CHECKING:
    from obslog.club.upkeep.batteries import BatteryPage
    from obslog.records.database import Database


def add_to(app: typer.Typer) -> None:
    command(app, "battery", show=show_battery)(battery_tests)


def show_battery(screen: Screen, page: "BatteryPage") -> None:
    screen.line(page.name, style="bold")
    if page.tests:
        screen.table(
            ["day", "V at rest", "V under load", "capacity left, %"],
            [[t.tested_on, t.rest_volts, t.load_volts, t.capacity_percent] for t in page.tests],
        )
    else:
        screen.note("No tests on record.")
    if page.warning:
        screen.line(f"!! {page.warning}", style="bold")
    screen.line(" ".join(page.cautions))


def battery_tests(
    database: "Database",
    now: datetime,
    battery: Annotated[str, typer.Argument(help="The battery.", show_default=False)],
    rest_volts: Annotated[float | None, typer.Option("--rest-volts", help="Volts at rest.")] = None,
    load_volts: Annotated[float | None, typer.Option("--load-volts", help="Volts under load.")] = None,
    capacity_percent: Annotated[
        float | None, typer.Option("--capacity-percent", help="What is left of its capacity, in percent.")
    ] = None,
    on: On = None,
) -> "BatteryPage":
    """Record a test of a battery, or show its tests.

    obslog service battery "Battery grey" --rest-volts 12.7 --capacity-percent 82
    obslog service battery "Battery grey"
    """
    from obslog.club.upkeep.batteries import battery_page, note_test

    told: tuple[date | float | None, ...] = (on, rest_volts, load_volts, capacity_percent)
    if all(one is None for one in told):
        return battery_page(database, battery)
    return note_test(
        database,
        battery,
        now,
        on=on,
        rest_volts=rest_volts,
        load_volts=load_volts,
        capacity_percent=capacity_percent,
    )
