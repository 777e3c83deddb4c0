"""The briefing: the evening on one screen."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated
from zoneinfo import ZoneInfo

import typer

from obslog.cli.site_and_time import PlannedThere
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import SetUpBy
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State

if TYPE_CHECKING:
    from obslog.club.checklist.briefing import Brief
    from obslog.records.database import Database

Mounts = Annotated[
    list[str] | None,
    typer.Option("--mount", "-m", help="The mount; once for each.", show_default="those used at the site"),
]
Full = Annotated[bool, typer.Option("--full", help="Everything, mount by mount, on as many screens.")]


@dataclass(frozen=True, slots=True)
class Briefing:
    """The brief, and the zone in which its times are shown."""

    made: "Brief"
    zone: ZoneInfo


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's own."""
    command(app, "brief", show=show_brief, document=lambda briefing: briefing.made)(brief)


def brief(
    database: "Database",
    state: State,
    there: PlannedThere,
    mount: Mounts = None,
    member: SetUpBy = None,
    full: Full = False,
) -> Briefing:
    """Show tonight on one screen.

    Darkness, Moon, pole star, where to look first, sync stars, targets, and what is due.

    obslog brief --site "Mill Field" --at 21:00 --mount Heron --member Ines
    """
    from obslog.club.checklist.briefing import brief as make_brief
    from obslog.club.register.usual_choices import person_meant

    view, instant = there.seen(database, state)
    member = person_meant(database, member, state.me, state.taken.append)
    return Briefing(make_brief(database, view, instant, mount or (), member_name=member), view.zone)


def show_brief(screen: Screen, briefing: Briefing, full: bool) -> None:
    if full:
        from obslog.cli.checklist.brief_full import show_in_full

        show_in_full(screen, briefing.made, briefing.zone)
    else:
        from obslog.cli.checklist.brief_screen import one_screen

        for line in one_screen(briefing.made, briefing.zone):
            screen.line(*line)
