"""Snags: what went wrong, and what mended it."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import SHIPPED_AND_OWN, At, SiteOption
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State

if TYPE_CHECKING:
    from obslog.club.night.snags import SnagLine
    from obslog.records.database import Database

app = typer.Typer(help="Snags: what went wrong, tied to a step of the checklist.", no_args_is_help=True)

Mount = Annotated[str | None, typer.Option("--mount", "-m", help="The mount it concerns.")]
Member = Annotated[str | None, typer.Option("--member", help="The member it happened to.")]
WithFixed = Annotated[bool, typer.Option("--all", help="Also those that were mended.")]


def show_added(screen: Screen, snag: "SnagLine") -> None:
    about = ", ".join(name for name in (snag.about, snag.member, snag.site) if name)
    screen.line(f"{snag.reference}  {snag.step}: {snag.text} ({about})")


def show_snags(screen: Screen, snags: "Sequence[SnagLine]", with_fixed: bool) -> None:
    if not snags:
        screen.note("No snags." if with_fixed else "No open snags.")
        return
    screen.table(
        ["reference", "day", "step", "what happened", "mount", "member", "remedy"],
        [[s.reference, s.day, s.step, s.text, s.about, s.member, s.remedy] for s in snags],
    )


def show_fixed(screen: Screen, snag: "SnagLine") -> None:
    how = f" (remedy: {snag.remedy})" if snag.remedy else ""
    screen.line(f"{snag.reference}  mended: {snag.text}{how}")


@command(app, "add", show=show_added)
def add(
    database: "Database",
    now: datetime,
    state: State,
    step: Annotated[
        str, typer.Argument(help=f"The step at which it happened: {SHIPPED_AND_OWN}.", show_default=False)
    ],
    words: Annotated[list[str], typer.Argument(metavar="TEXT", help="What happened.", show_default=False)],
    mount: Mount = None,
    member: Member = None,
    site: SiteOption = None,
    at: At = None,
) -> "SnagLine":
    """Record a snag.

    Of the open set-up, unless something else is named.

    obslog snag add key-in summer time was off, first star 15 degrees out
    """
    from obslog.club.night.snags import add_snag

    return add_snag(
        database, step, " ".join(words), now, mount=mount, member=member, site=site, at=at, me=state.me
    )  # fmt: skip


@command(app, "list", show=show_snags)
def list_(
    database: "Database",
    mount: Mount = None,
    member: Member = None,
    site: SiteOption = None,
    with_fixed: WithFixed = False,
) -> "list[SnagLine]":
    """List the snags, the newest first."""
    from obslog.club.night.snags import list_snags

    return list_snags(database, mount=mount, member=member, site=site, with_fixed=with_fixed)


@command(app, "fix", show=show_fixed)
def fix(
    database: "Database",
    now: datetime,
    reference: Annotated[
        str, typer.Argument(help="The snag's reference, as in snag list.", show_default=False)
    ],
    words: Annotated[
        list[str] | None, typer.Argument(metavar="REMEDY", help="What mended it.", show_default=False)
    ] = None,
) -> "SnagLine":
    """Record that a snag was mended, and how.

    obslog snag fix 4f2c1a new fuse at the battery
    """
    from obslog.club.night.snags import fix_snag

    return fix_snag(database, reference, " ".join(words) if words else None, now)
