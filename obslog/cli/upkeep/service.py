"""Services: work done on equipment, and its bill."""

from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.options import AsJson
from obslog.cli.terminal.state import state_of
from obslog.cli.upkeep import service_show
from obslog.times import read_date

if TYPE_CHECKING:
    from obslog.club.upkeep.services import ServiceLine

app = typer.Typer(help="Services: work done on equipment, what is due, what to mend.", no_args_is_help=True)
service_show.add_to(app)


class Kind(StrEnum):
    MOUNT = "mount"
    TUBE = "tube"
    EYEPIECE = "eyepiece"
    ITEM = "item"


KindOption = Annotated[Kind, typer.Option("--kind", help="What kind of thing it is.")]


@app.command("add")
def add(
    context: typer.Context,
    name: Annotated[str, typer.Argument(help="The mount (or what --kind says).", show_default=False)],
    words: Annotated[list[str], typer.Argument(metavar="TEXT", help="What was done.", show_default=False)],
    on: Annotated[str | None, typer.Option("--on", help="The day.", show_default="today")] = None,
    mechanical: Annotated[
        bool,
        typer.Option("--mechanical", help="It changed the mechanics: the mount's history starts afresh."),
    ] = False,
    by: Annotated[str | None, typer.Option("--by", help="The member who did it.")] = None,
    cost: Annotated[float | None, typer.Option("--cost", help="What it cost.")] = None,
    parts: Annotated[str | None, typer.Option("--parts", help="What was used.")] = None,
    tasks: Annotated[
        list[str] | None, typer.Option("--task", help="A task of the routine that it did; once for each.")
    ] = None,
    mends: Annotated[
        list[str] | None,
        typer.Option("--for", help="A snag's mark, or a step: it mends these snags; once for each."),
    ] = None,
    next_on: Annotated[str | None, typer.Option("--next-on", help="The next is due on this day.")] = None,
    next_in_months: Annotated[
        int | None, typer.Option("--next-in-months", help="The next is due after so many months.")
    ] = None,
    next_after_nights: Annotated[
        int | None, typer.Option("--next-after-nights", help="The next is due after so many nights of use.")
    ] = None,
    next_when: Annotated[
        str | None, typer.Option("--next-when", help="The next is due when this is so, in words.")
    ] = None,
    kind: KindOption = Kind.MOUNT,
    as_json: AsJson = False,
) -> None:
    """Note a service: obslog service add Heron worm cleaned and meshed --on 2026-03-01 --mechanical

    With its bill: --cost 35 --parts grease --task grease --next-in-months 12. What it mends: --for verify
    """
    from obslog.club.upkeep.service_bills import Bill
    from obslog.club.upkeep.services import add_service

    state = state_of(context)
    now = state.now()
    bill = Bill(
        cost,
        parts,
        read_date(next_on) if next_on else None,
        next_in_months,
        next_after_nights,
        next_when,
    )
    with state.database() as database:
        line = add_service(
            database,
            kind,
            name,
            " ".join(words),
            now,
            on=read_date(on) if on else now.date(),
            mechanical=mechanical,
            by=by,
            bill=bill,
            tasks=tasks or (),
            mends=mends or (),
        )
    if as_json:
        state.screen.json(line)
        return
    state.screen.line(f"{line.done_on}  {line.name}: {line.text}{' (mechanical)' if line.mechanical else ''}")
    if line.mended:
        state.screen.line(f"mends {', '.join(line.mended)}", indent=2)
    if (words_of_next := _next_words(line)) is not None:
        state.screen.line(f"next: {words_of_next}", indent=2)


@app.command("list")
def list_(
    context: typer.Context,
    name: Annotated[str | None, typer.Argument(help="One thing only.", show_default="all")] = None,
    kind: KindOption = Kind.MOUNT,
    as_json: AsJson = False,
) -> None:
    """List the services, the newest first."""
    from obslog.club.upkeep.services import list_services

    state = state_of(context)
    with state.database() as database:
        services = list_services(database, name=name, kind=kind)
    if as_json:
        state.screen.json(services)
    elif not services:
        state.screen.note("No services on record.")
    else:
        state.screen.table(
            ["day", "name", "what was done", "by", "cost", "next"],
            [
                [
                    s.done_on,
                    s.name,
                    f"{s.text}{' (mechanical)' if s.mechanical else ''}",
                    s.by,
                    s.cost,
                    _next_words(s),
                ]
                for s in services
            ],
        )


def _next_words(line: "ServiceLine") -> str | None:
    words = (
        str(line.next_on) if line.next_on else None,
        f"after {line.next_after_nights} nights" if line.next_after_nights else None,
        f"when {line.next_when}" if line.next_when else None,
    )
    return ", or ".join(word for word in words if word is not None) or None
