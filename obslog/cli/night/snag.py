"""Snags: what went wrong, and what mended it."""

from typing import Annotated

import typer

from obslog.cli.terminal.fast_arguments import PlainTextCommand, PlainTextGroup
from obslog.cli.terminal.options import AsJson, At, SiteOption
from obslog.cli.terminal.state import state_of
from obslog.vocabulary import Step

app = typer.Typer(
    cls=PlainTextGroup, help="Snags: what went wrong, tied to a step of the checklist.", no_args_is_help=True
)

Mount = Annotated[str | None, typer.Option("--mount", "-m", help="The mount it concerns.")]
Member = Annotated[str | None, typer.Option("--member", help="The member it happened to.")]


@app.command("add", cls=PlainTextCommand)
def add(
    context: typer.Context,
    step: Annotated[Step, typer.Argument(help="The step at which it happened.", show_default=False)],
    words: Annotated[list[str], typer.Argument(metavar="TEXT", help="What happened.", show_default=False)],
    mount: Mount = None,
    member: Member = None,
    site: SiteOption = None,
    at: At = None,
    as_json: AsJson = False,
) -> None:
    """Record a snag: of the open set-up, unless something else is named.

    obslog snag add key-in summer time was off, first star 15 degrees out
    """
    from obslog.club.night.snags import add_snag

    state = state_of(context)
    with state.database() as database:
        line = add_snag(
            database, step, " ".join(words), state.now(), mount=mount, member=member, site=site, at=at
        )
    if as_json:
        state.screen.json(line)
    else:
        about = ", ".join(name for name in (line.about, line.member, line.site) if name)
        state.screen.line(f"{line.mark}  {line.step}: {line.text} ({about})")


@app.command("list")
def list_(
    context: typer.Context,
    mount: Mount = None,
    member: Member = None,
    site: SiteOption = None,
    with_fixed: Annotated[bool, typer.Option("--all", help="Also those that were mended.")] = False,
    as_json: AsJson = False,
) -> None:
    """List the snags, the newest first."""
    from obslog.club.night.snags import list_snags

    state = state_of(context)
    with state.database() as database:
        snags = list_snags(database, mount=mount, member=member, site=site, with_fixed=with_fixed)
    if as_json:
        state.screen.json(snags)
    elif not snags:
        state.screen.note("No open snags." if not with_fixed else "No snags.")
    else:
        state.screen.table(
            ["reference", "day", "step", "what happened", "mount", "member", "remedy"],
            [[s.mark, s.at_utc.date(), s.step, s.text, s.about, s.member, s.remedy] for s in snags],
        )


@app.command("fix")
def fix(
    context: typer.Context,
    reference: Annotated[
        str, typer.Argument(help="The snag's reference, as in snag list.", show_default=False)
    ],
    words: Annotated[
        list[str] | None, typer.Argument(metavar="[REMEDY]", help="What mended it.", show_default=False)
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Record that a snag was mended, and how.

    obslog snag fix 4f2c1a new fuse at the battery
    """
    from obslog.club.night.snags import fix_snag

    state = state_of(context)
    with state.database() as database:
        line = fix_snag(database, reference, " ".join(words) if words else None, state.now())
    if as_json:
        state.screen.json(line)
    else:
        state.screen.line(f"{line.mark}  mended: {line.text}{': ' + line.remedy if line.remedy else ''}")
