"""Services: work done on an item, and its bill."""

from collections.abc import Sequence
from datetime import date, datetime
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Cost, ItemName, On, day
from obslog.cli.terminal.screen import Screen
from obslog.cli.upkeep import battery, service_show
from obslog.english import counted
from obslog.money import known_money

if TYPE_CHECKING:
    from obslog.club.upkeep.services import ServiceLine, ServiceList
    from obslog.records.database import Database

app = typer.Typer(help="Services: what was done, what is due.", no_args_is_help=True)


class ServicedKind(StrEnum):
    MOUNT = "mount"
    TUBE = "tube"
    EYEPIECE = "eyepiece"
    ITEM = "item"


ServicedKindOption = Annotated[
    ServicedKind | None, typer.Option("--kind", help="The kind of item, if the name is ambiguous.")
]


def show_service(screen: Screen, line: "ServiceLine") -> None:
    screen.line(f"{line.done_on}  {line.name}: {_what_was_done(line)}")
    if line.mended:
        screen.line(f"mends {', '.join(line.mended)}", indent=2)
    if (next_words := _next_words(line)) is not None:
        screen.line(f"next: {next_words}", indent=2)


@command(app, "add", show=show_service)
def add_service(
    database: "Database",
    now: datetime,
    item: ItemName,
    words: Annotated[list[str], typer.Argument(metavar="TEXT", help="What was done.", show_default=False)],
    on: On = None,
    mechanical: Annotated[
        bool,
        typer.Option("--mechanical", help="It changed the mechanics: the mount's history starts afresh."),
    ] = False,
    by: Annotated[str | None, typer.Option("--by", help="The member who did it.")] = None,
    cost: Cost = None,
    materials: Annotated[str | None, typer.Option("--parts", help="What was used.")] = None,
    tasks: Annotated[
        list[str] | None,
        typer.Option("--task", help="A task of the maintenance schedule that it did; once for each."),
    ] = None,
    mends: Annotated[
        list[str] | None,
        typer.Option(
            "--for",
            help="What it mends: the reference of a snag, or a step for all its open snags; once for each.",
        ),
    ] = None,
    next_on: Annotated[date | None, day("--next-on", help="The next is due on this day.")] = None,
    next_in_months: Annotated[
        int | None, typer.Option("--next-in-months", help="The next is due after so many months.")
    ] = None,
    next_after_nights: Annotated[
        int | None, typer.Option("--next-after-nights", help="The next is due after so many nights of use.")
    ] = None,
    next_when: Annotated[
        str | None, typer.Option("--next-when", help="The next is due when this is so, in words.")
    ] = None,
    kind: ServicedKindOption = None,
) -> "ServiceLine":
    """Record a service.

    obslog service add Heron worm cleaned and meshed --mechanical
    obslog service add Heron greased --cost 35 --parts grease
    obslog service add Heron worm meshed --for verify --next-in-months 12
    """
    from obslog.club.register.club_day import day_meant
    from obslog.club.upkeep.service_bills import Bill
    from obslog.club.upkeep.services import add_service

    bill = Bill(
        cost=cost,
        parts=materials,
        next_on=next_on,
        next_in_months=next_in_months,
        next_after_nights=next_after_nights,
        next_when=next_when,
    )
    return add_service(
        database,
        kind,
        item,
        " ".join(words),
        now,
        on=day_meant(database, on, now),
        mechanical=mechanical,
        by=by,
        bill=bill,
        tasks=tasks or (),
        mends=mends or (),
    )


def show_services(screen: Screen, found: "ServiceList") -> None:
    if not found.lines:
        screen.note("No services on record.")
        return
    screen.table(
        ["day", "name", "what was done", "by", "cost", "next"],
        [
            [
                line.done_on,
                line.name,
                _what_was_done(line),
                line.by,
                known_money(line.cost, found.currency),
                _next_words(line),
            ]
            for line in found.lines
        ],
    )


def service_lines(found: "ServiceList") -> "Sequence[ServiceLine]":
    return found.lines


@command(app, "list", show=show_services, document=service_lines)
def list_services(
    database: "Database",
    item: Annotated[str | None, typer.Argument(help="One item only.", show_default="all")] = None,
    kind: ServicedKindOption = None,
) -> "ServiceList":
    """List the services, the newest first.

    obslog service list Heron
    """
    from obslog.club.upkeep.services import ServiceList, list_services

    return ServiceList.of(database, list_services(database, name=item, kind=kind))


def _what_was_done(line: "ServiceLine") -> str:
    return f"{line.text}{' (mechanical)' if line.mechanical else ''}"


def _next_words(line: "ServiceLine") -> str | None:
    nights = line.next_after_nights
    words = (
        str(line.next_on) if line.next_on else None,
        f"after {counted(nights, 'night')} of use" if nights else None,
        f"when {line.next_when}" if line.next_when else None,
    )
    return ", or ".join(word for word in words if word is not None) or None


service_show.add_to(app)
battery.add_to(app)
