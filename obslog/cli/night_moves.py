"""A night moved to another site or date: a command of `night`."""

from datetime import date, datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from obslog.cli.look.shown_values import plain
from obslog.cli.night.choices import WhichNight
from obslog.cli.night.quick_verbs import SureOption
from obslog.cli.terminal.options import day
from obslog.cli.terminal.screen import Screen

if TYPE_CHECKING:
    from obslog.club.night_moves import MovedNight
    from obslog.records.database import Database


def show_moved(screen: Screen, moved: "MovedNight") -> None:
    from obslog.cli.night.night import show_page

    show_page(screen, moved.night)
    for remark in moved.remarks:
        screen.note(remark)


def moved_document(moved: "MovedNight") -> dict[str, Any]:
    return {**plain(moved.night), "remarks": moved.remarks}


def edit(
    database: "Database",
    now: datetime,
    which: WhichNight,
    to_site: Annotated[
        str | None, typer.Option("--to-site", help="The site where it really was.", show_default="as it was")
    ] = None,
    to_date: Annotated[
        date | None, day("--to-date", help="The date of its evening.", show_default="as it was")
    ] = None,
    sure: SureOption = False,
) -> "MovedNight":
    """Move a night to another site or date.

    What was recorded in it moves along. By another date all keeps its time of day. By another site a night that was
    recorded as it went keeps its moments, and one that was typed in later its times of day.

    obslog night edit --night 2026-03-01 --to-date 2026-03-02
    """
    from obslog.club.night_moves import move_night

    return move_night(database, which.choice(), now, to_site=to_site, to_date=to_date, sure=sure)
