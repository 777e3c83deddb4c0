"""How far a member is through a list of targets, by the rules of an observing programme."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog.cli.targets.targets import names_in
from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.club.targets.programmes import WELL_KNOWN_LISTS

if TYPE_CHECKING:
    from obslog.club.targets.list_progress import Progress
    from obslog.records.database import Database


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's own."""
    command(app, "progress", show=show_progress)(progress)


def show_progress(screen: Screen, found: "Progress") -> None:
    screen.line(f"{found.member}: {found.listed}, rules: {found.programme}", style="bold")
    pairs: list[tuple[str, Any]] = [
        ("complete", f"{len(found.done)} of {found.total}"),
        ("incomplete", len(found.lacking)),
        ("to see", len(found.to_see)),
    ]
    pairs += [(step, f"{min(len(found.done), number)} of {number}") for step, number in found.steps.items()]
    pairs += [(quota.what, f"{quota.done} of {quota.number}") for quota in found.quotas]
    screen.fields(pairs)
    if found.lacking:
        screen.line()
        for one in found.incomplete:
            screen.line(f"{one.count} {one.words}", hang=2)
        screen.line()
        screen.table(
            ["object", "night of", "lacks"], [[one.name, one.night, one.lacks] for one in found.lacking]
        )
    if found.up_next is not None:
        screen.line()
        screen.line(f"Up in the dark in the middle of {found.next_month}:")
        screen.table(
            ["object", "hours", "highest °"],
            [[one.name, f"{one.hours:.1f}", f"{one.best_alt_deg:.0f}"] for one in found.up_next],
        )
    if found.unknown:
        screen.note(f"Unknown here, or wandering among the stars: {', '.join(found.unknown)}")
    for text in (found.remark, f"Source of the rules: {found.source}. The programme's own pages come first."):
        if text:
            screen.note(text)


def progress(
    database: "Database",
    now: datetime,
    listed: Annotated[
        str, typer.Argument(metavar="LIST", help="messier, caldwell, or a file with one name on each line.")
    ],
    state: State,
    member: Annotated[str | None, typer.Option("--member", help="Whose.", show_default="yours")] = None,
    programme: Annotated[
        str | None,
        typer.Option(
            "--programme",
            help="Which rules: messier-described, messier-in-full, messier-drawn, double-stars-drawn.",
            show_default="what nearly all ask for",
        ),
    ] = None,
    site: Annotated[
        str | None, typer.Option("--site", "-s", help="Where: also what comes up next month.")
    ] = None,
) -> "Progress":
    """Show how far a member is through a list.

    Which objects are complete, which lack something, and which are still to see.

    obslog progress messier --member Ines --programme messier-described
    """
    from obslog.club.register.observing_site import observing_site
    from obslog.club.register.usual_choices import member_meant
    from obslog.club.targets.list_progress import progress_of
    from obslog.club.targets.programmes import programme_named

    names = None if listed.casefold() in WELL_KNOWN_LISTS else names_in(listed)
    rules = programme_named(programme)
    member = member_meant(database, member, state.me, state.taken.append)
    view = observing_site(database, site) if site else None
    return progress_of(database, member, listed, rules, now, names=names, view=view)
