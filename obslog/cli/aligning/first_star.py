"""Why the first star was missed: the likeliest mistakes, and what to look at to be certain."""

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.site_and_time import view_meant
from obslog.cli.terminal.caution import show_caution
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import At, Site
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import WrongInput
from obslog.vocabulary.mounts import MountType

if TYPE_CHECKING:
    from obslog.club.aligning.first_star_mistakes import FirstMiss
    from obslog.pointing.mistakes.posterior import LikelyCause
    from obslog.pointing.mistakes.prior import Past
    from obslog.records.database import Database

Star = Annotated[str, typer.Option("--star", help="The first star.", show_default=False)]
East = Annotated[float | None, typer.Option("--east", help="How far EAST of the field it stood, degrees.")]
North = Annotated[float | None, typer.Option("--north", help="How far NORTH it stood, degrees.")]
LandedAlt = Annotated[
    float | None, typer.Option("--landed-alt", help="Or where the mount pointed: altitude, degrees.")
]
LandedAz = Annotated[float | None, typer.Option("--landed-az", help="And azimuth, degrees.")]
Then = Annotated[
    list[str] | None, typer.Option("--then", help='Another star before any sync: "Capella -14.8 0.3".')
]
MountKind = Annotated[MountType, typer.Option("--type", help="How the mount is built.")]
MostCauses = Annotated[int, typer.Option("--most", min=1, help="How many causes to list.")]


class UnreadableMiss(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(
            f"The miss {text!r} cannot be read.",
            'Write the star and degrees east and north: "Capella -14.8 0.3".',
        )


@dataclass(frozen=True, slots=True)
class Causes:
    """The likeliest causes of a miss, the caution that going there again needs, and the past they are weighed by."""

    causes: "list[LikelyCause]"
    caution: str | None
    past: "Past"


def add_to(app: typer.Typer) -> None:
    """Put the search for mistakes among the commands of pointing."""
    command(app, "mistakes", show=show_causes)(mistakes)


def mistakes(
    database: "Database",
    now: datetime,
    state: State,
    star: Star,
    site: Site = None,
    at: At = None,
    east: East = None,
    north: North = None,
    landed_alt: LandedAlt = None,
    landed_az: LandedAz = None,
    then: Then = None,
    mount_type: MountKind = MountType.GERMAN,
    most: MostCauses = 5,
) -> "Causes":
    """Say why the first star missed, and what to do.

    It lists the likeliest mistakes, and what to look at to be certain.

    obslog pointing mistakes --site "Mill Field" --star Vega --at 21:40 --east -15 --north 0.2
    """
    from obslog.club.aligning.club_record import read_club_record
    from obslog.club.aligning.first_star_mistakes import (
        FirstMiss,
        causes_of_miss,
        caution_of_misses,
        past_of,
    )
    from obslog.club.register.observing_site import instant_at

    misses = [
        FirstMiss(
            star=star, east_deg=east, north_deg=north, landed_alt_deg=landed_alt, landed_az_deg=landed_az
        ),
        *(_read_miss(text) for text in then or ()),
    ]
    view = view_meant(database, site, state)
    instant = instant_at(view, at, now)
    with database.read() as session:
        record = read_club_record(session)
    causes = causes_of_miss(record, view, instant, misses, mount_type)
    return Causes(causes, caution_of_misses(view, instant, misses), past_of(record, view, instant))


def show_causes(screen: Screen, found: "Causes", most: int) -> None:
    from obslog.club.aligning.past_mistakes import past_words

    show_caution(screen, found.caution)
    for cause in found.causes[:most]:
        screen.line(f"{_percent(cause.probability):>7}  {cause.what}", style="bold", hang=9)
        screen.line(cause.remedy, indent=9)
        screen.line(f"Look at this to be certain: {cause.look_at[:1].lower()}{cause.look_at[1:]}", indent=9)
    screen.line(past_words(found.past))


def _read_miss(text: str) -> "FirstMiss":
    from obslog.club.aligning.first_star_mistakes import FirstMiss

    *star, east, north = text.split() if len(text.split()) > 2 else ("", "", "")
    try:
        return FirstMiss(star=" ".join(star), east_deg=float(east), north_deg=float(north))
    except ValueError as error:
        raise UnreadableMiss(text) from error


def _percent(probability: float) -> str:
    """A probability that is never told as certain or impossible."""
    if probability < 0.01:
        return "< 1 %"
    return "> 99 %" if probability > 0.99 else f"{100 * probability:.0f} %"
