"""The sky from a site: where, when, Sun and Moon, the pole, and what there is."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated
from zoneinfo import ZoneInfo

import typer

from obslog.cli.site_and_time import MomentThere, PlannedThere
from obslog.cli.sky.sky_shown import Search, show_found, show_pole, show_sun_moon, show_when, show_where
from obslog.cli.terminal.command import command, first_of
from obslog.cli.terminal.options import Above
from obslog.cli.terminal.state import State

if TYPE_CHECKING:
    from obslog.club.register.observing_site import ObservingSite
    from obslog.club.sky.pole import PoleNow
    from obslog.club.sky.sun_and_moon import SunMoon
    from obslog.club.sky.when import WhenIs
    from obslog.club.sky.where import WhereIs
    from obslog.records.database import Database
    from obslog.report.pictures.picture import Picture

app = typer.Typer(help="The sky from a site: where things are, and when.", no_args_is_help=True)

Object = Annotated[
    list[str], typer.Argument(metavar="OBJECT", help="A star, object or planet.", show_default=False)
]
Part = Annotated[list[str], typer.Argument(metavar="TEXT", help="Part of a name.", show_default=False)]
Most = Annotated[int, typer.Option("--most", min=1, help="At most this many.")]


@command(app, "where", show=show_where, document=first_of)
def where(
    database: "Database", state: State, words: Object, there: MomentThere
) -> "tuple[WhereIs, datetime]":
    """Say where something stands: apparent topocentric place.

    obslog sky where Vega --site "Mill Field" --at 21:40
    """
    from obslog.club.sky.where import where_is

    view, instant = there.seen(database, state)
    return where_is(view, " ".join(words), instant), instant.astimezone(view.zone)


def _night_picture(told: "tuple[WhenIs, ObservingSite]") -> "Picture":
    from obslog.club.sky.when import course_of
    from obslog.report.sky_pictures.night_altitude import night_picture

    found, view = told
    return night_picture(found, course_of(view, found), view)


def _pole_picture(told: "tuple[PoleNow, ObservingSite]") -> "Picture":
    from obslog.report.sky_pictures.pole_views import pole_picture

    return pole_picture(*told)


@command(app, "when", show=show_when, document=first_of, picture=_night_picture)
def when(
    database: "Database", state: State, words: Object, there: PlannedThere, above: Above = 30.0
) -> "tuple[WhenIs, ObservingSite]":
    """Say when something rises, sets, and is best seen.

    Tonight, with its passage of the meridian, and through the year.

    obslog sky when M 31 --site "Mill Field"
    """
    from obslog.club.sky.when import when_is

    view, instant = there.seen(database, state)
    return when_is(view, " ".join(words), instant, above_deg=above), view


@command(app, "sun-moon", show=show_sun_moon, document=first_of)
def sun_moon(database: "Database", state: State, there: PlannedThere) -> "tuple[SunMoon, ZoneInfo]":
    """Show twilight, the Moon, and its coming phases."""
    from obslog.club.sky.sun_and_moon import sun_and_moon

    view, instant = there.seen(database, state)
    return sun_and_moon(view, instant), view.zone


@command(app, "pole", show=show_pole, document=first_of, picture=_pole_picture)
def pole(database: "Database", state: State, there: MomentThere) -> "tuple[PoleNow, ObservingSite]":
    """Say where the pole star stands about the pole.

    It is for setting the polar axis by it.
    """
    from obslog.club.sky.pole import pole_now

    view, instant = there.seen(database, state)
    return pole_now(view, instant), view


@command(app, "find", show=show_found, document=lambda search: search.found[: search.most])
def find(words: Part, most: Most = 20) -> Search:
    """Look for stars and objects by part of a name."""
    from obslog.sky.names.search import search_sky

    text = " ".join(words)
    return Search(text, search_sky(text), most)
