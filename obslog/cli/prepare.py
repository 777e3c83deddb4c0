"""Preparing a set-up: the checklist."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.options import AsJson
from obslog.cli.state import State, state_of

if TYPE_CHECKING:
    from obslog.club.preparation import Checklist, PastSnags


def add_to(app: typer.Typer) -> None:
    app.command("checklist")(checklist)


def checklist(
    context: typer.Context,
    mount: Annotated[str, typer.Argument(help="The mount.", show_default=False)],
    site: Annotated[str, typer.Option("--site", "-s", help="The site.", show_default=False)],
    at: Annotated[
        str | None, typer.Option("--at", help="When: 21:40 tonight, or a full instant.", show_default="now")
    ] = None,
    member: Annotated[str | None, typer.Option("--member", help="Who sets it up.")] = None,
    short: Annotated[bool, typer.Option("--short", help="Titles, values and snags only.")] = False,
    as_json: AsJson = False,
) -> None:
    """The steps of a set-up in order, and beside each what went wrong there before.

    obslog checklist Heron --site 'Mill Field' --member Ines
    """
    from obslog.club.preparation import checklist as make_checklist
    from obslog.club.preparation import evening_at

    state = state_of(context)
    with state.database() as database:
        at_utc = evening_at(database, site, at, state.now())
        made = make_checklist(database, mount, site, at_utc, member_name=member)
    if as_json:
        state.screen.json(made)
    else:
        show_checklist(state, made, short=short)


def show_checklist(state: State, made: "Checklist", *, short: bool = False) -> None:
    screen = state.screen
    who = f", {made.member}" if made.member else ""
    screen.line(f"Checklist: {made.mount} at {made.site}, {made.local}{who}", style="bold")
    screen.line(made.caution)
    for step in made.steps:
        if not short:
            screen.line()
        screen.line(f"{step.order:>2}. {step.title} [{step.tolerance}]", style="" if short else "bold")
        if not short:
            screen.line(step.do, indent=4)
        for value in step.values:
            screen.line(f"> {value}", indent=4)
        told: set[tuple[datetime, str]] = set()
        for snag in step.snags:
            last = (snag.last, snag.last_text)
            screen.line(f"! {_snag_words(snag, told_already=last in told)}", indent=4)
            told.add(last)
        if not short:
            screen.line(f"Why: {step.why}", style="dim", indent=4)


def _snag_words(snag: "PastSnags", *, told_already: bool) -> str:
    """How often and when last; what it was only once, where mount, member and site share their last snag."""
    times = {1: "once", 2: "twice"}.get(snag.count, f"{snag.count} times")
    words = f"{snag.name}: {times} in {snag.setups} set-ups, last {snag.last:%Y-%m-%d}"
    if told_already:
        return words
    remedy = f" (remedy: {snag.last_remedy})" if snag.last_remedy else ""
    return f"{words}: {snag.last_text}{remedy}"
