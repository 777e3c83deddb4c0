"""Services: work done on equipment."""

from enum import StrEnum
from typing import Annotated

import typer

from obslog.cli.options import AsJson
from obslog.cli.state import state_of
from obslog.times import read_date

app = typer.Typer(help="Services: work done on equipment.", no_args_is_help=True)


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
    kind: KindOption = Kind.MOUNT,
    as_json: AsJson = False,
) -> None:
    """Note a service: obslog service add Heron worm cleaned and meshed --on 2026-03-01 --mechanical"""
    from obslog.club.services import add_service

    state = state_of(context)
    now = state.now()
    day = read_date(on) if on else now.date()
    with state.database() as database:
        line = add_service(database, kind, name, " ".join(words), now, on=day, mechanical=mechanical, by=by)
    if as_json:
        state.screen.json(line)
    else:
        state.screen.line(
            f"{line.done_on}  {line.name}: {line.text}{' (mechanical)' if line.mechanical else ''}"
        )


@app.command("list")
def list_(
    context: typer.Context,
    name: Annotated[str | None, typer.Argument(help="One thing only.", show_default="all")] = None,
    kind: KindOption = Kind.MOUNT,
    as_json: AsJson = False,
) -> None:
    """List the services, the newest first."""
    from obslog.club.services import list_services

    state = state_of(context)
    with state.database() as database:
        services = list_services(database, name=name, kind=kind)
    if as_json:
        state.screen.json(services)
    elif not services:
        state.screen.note("No services on record.")
    else:
        state.screen.table(
            ["day", "kind", "name", "mechanical", "what was done", "by"],
            [[s.done_on, s.kind, s.name, s.mechanical, s.text, s.by] for s in services],
        )
