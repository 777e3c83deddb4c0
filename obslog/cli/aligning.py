"""Before the first star and after its miss: stars to sync on, pointing runs, drifts, mistakes."""

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.site_and_time import PlannedThere, view_meant
from obslog.cli.terminal.caution import show_caution
from obslog.cli.terminal.command import command, first_of
from obslog.cli.terminal.options import At, MountIfSeveral, Site, TubeUsed
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.club.aligning.usual_limits import FAINTEST_MAG, HIGHEST_ALT_DEG, LOWEST_ALT_DEG
from obslog.errors import WrongInput
from obslog.estimate_words import NOT_DETERMINED
from obslog.horizon import read_horizon
from obslog.vocabulary import MountType

if TYPE_CHECKING:
    from obslog.club.aligning.drift_alignment import DriftPage
    from obslog.club.aligning.first_star_mistakes import FirstMiss
    from obslog.club.aligning.sync_star_plan import Expected, RunPage, StarPlan, StarStep
    from obslog.club.register.observing_site import ObservingSite
    from obslog.pointing.mistakes.posterior import LikelyCause
    from obslog.pointing.mistakes.prior import Past
    from obslog.pointing.planning.observable import Limits
    from obslog.records.opening import Database

Syncs = Annotated[int, typer.Option("--syncs", help="How many stars to sync on.")]
Targets = Annotated[list[str] | None, typer.Option("--target", help="Where you want to go; once for each.")]
Field = Annotated[float | None, typer.Option("--field", help="The eyepiece's true field, arcminutes.")]
Drifts = Annotated[
    list[str], typer.Argument(metavar="DRIFT", help='Star, time, minutes, drift: "Procyon 21:40 10 2.5N".')
]
Reading = Annotated[
    float, typer.Option("--reading", min=0.01, help="How well a drift was judged, arcminutes.")
]
Exposure = Annotated[
    float | None,
    typer.Option("--exposure", help="Minutes of an exposure: show how far its field would turn."),
]
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

RUN_TERMS = {"cone": "cone error", "squareness": "squareness", "sag": "sag"}


@dataclass(frozen=True, slots=True, kw_only=True)
class StarLimits:
    """How high and how bright a star has to be."""

    lowest: Annotated[float, typer.Option("--lowest", help="Lowest altitude of a star, degrees.")] = (
        LOWEST_ALT_DEG
    )
    highest: Annotated[float, typer.Option("--highest", help="Highest altitude, degrees.")] = HIGHEST_ALT_DEG
    faintest: Annotated[float, typer.Option("--faintest", help="Faintest magnitude.")] = FAINTEST_MAG
    horizon: Annotated[
        str | None,
        typer.Option(
            "--horizon", help="What is hidden, azimuth:altitude: 0:10,90:25.", show_default="the site's own"
        ),
    ] = None

    def at(self, view: "ObservingSite") -> "Limits":
        """The limits at a site, whose own horizon holds where none is given."""
        from obslog.club.aligning.star_candidates import limits_of

        horizon = read_horizon(self.horizon) if self.horizon else view.horizon
        return limits_of(self.lowest, self.highest, self.faintest, horizon)


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
    """Put these commands among those of pointing."""
    command(app, "stars", show=show_stars, document=first_of)(stars)
    command(app, "run-plan", show=show_run_plan)(run_plan)
    command(app, "drift", show=show_drifts)(drift)
    command(app, "mistakes", show=show_causes)(mistakes)


def stars(
    database: "Database",
    state: State,
    mount: MountIfSeveral = None,
    *,
    there: PlannedThere,
    tube: TubeUsed = None,
    syncs: Syncs = 3,
    target: Targets = None,
    field: Field = None,
    limits: StarLimits,
) -> "tuple[StarPlan, str]":
    """Choose the stars to sync on, and say where go-tos land.

    obslog pointing stars Heron --site "Mill Field" --at 21:00 --syncs 3 --field 73
    """
    from obslog.club.aligning.sync_star_plan import plan_stars
    from obslog.club.register.usual_choices import mount_meant

    mount = mount_meant(database, mount, state.taken.append)
    view, instant = there.seen(database, state)
    plan = plan_stars(
        database, mount, tube, view, instant, syncs, limits.at(view), targets=target, field_arcmin=field
    )
    return plan, f"{plan.mount} at {view.site}, {instant.astimezone(view.zone):%Y-%m-%d %H:%M}"


def show_stars(screen: Screen, planned: "tuple[StarPlan, str]") -> None:
    plan, heading = planned
    show_caution(screen, plan.caution)
    screen.line(heading, style="bold")
    for words in plan.basis:
        screen.line(words, indent=2)
    screen.line()
    _show_steps(screen, plan.stars, plan.after_each)


def run_plan(
    database: "Database",
    state: State,
    mount: MountIfSeveral = None,
    *,
    there: PlannedThere,
    limits: StarLimits,
) -> "RunPage":
    """Plan a pointing run: the acceptance test of a mount.

    It takes one sync, then checks without another.

    obslog pointing run-plan Heron --site "Mill Field" --at 21:00
    """
    from obslog.club.aligning.sync_star_plan import plan_pointing_run
    from obslog.club.register.usual_choices import mount_meant

    mount = mount_meant(database, mount, state.taken.append)
    view, instant = there.seen(database, state)
    return plan_pointing_run(database, mount, view, instant, limits.at(view))


def show_run_plan(screen: Screen, plan: "RunPage") -> None:
    show_caution(screen, plan.caution)
    screen.line(
        f"Pointing run of {plan.mount}: sync on the first star, check the others, about {plan.minutes:.0f} min",
        style="bold",
    )
    _show_steps(screen, plan.stars)
    told = ", ".join(f"{RUN_TERMS[term]} to ±{sd:.1f}'" for term, sd in plan.sd_arcmin.items())
    enough = ", ".join(RUN_TERMS[term] for term in plan.determines) or "none of them"
    screen.line(f"It would tell {told}. Well enough to judge the mount by: {enough}.")


def drift(
    database: "Database",
    now: datetime,
    state: State,
    drifts: Drifts,
    site: Site = None,
    reading: Reading = 0.5,
    exposure: Exposure = None,
) -> "DriftPage":
    """Work out the polar axis from timed drifts.

    Time one star near the meridian, and one low in the east or west.

    obslog pointing drift "Procyon 21:40 10 2.5N" "Alphard 22:00 10 1S" --site "Mill Field"
    """
    from obslog.club.aligning.drift_alignment import axis_from_drifts

    view = view_meant(database, site, state)
    return axis_from_drifts(view, drifts, now, reading_arcmin=reading, exposure_minutes=exposure)


def show_drifts(screen: Screen, page: "DriftPage") -> None:
    show_caution(screen, page.caution)
    screen.table(
        ["star", "hour angle h", "dec °", "minutes", "drift north '", "alone it says", "field turns °"],
        [
            [
                d.star,
                f"{d.hour_angle_hours:+.2f}",
                f"{d.dec_deg:+.1f}",
                d.minutes,
                f"{d.drift_north_arcmin:+.1f}",
                d.meaning,
                "" if d.rotation_deg is None else f"{d.rotation_deg:+.2f}",
            ]
            for d in page.drifts
        ],
    )
    for what, estimate, ways in (
        ("altitude", page.polar_altitude, ("high", "low")),
        ("azimuth", page.polar_azimuth, ("far east", "far west")),
    ):
        if not estimate.determined:
            screen.line(f"polar {what}: {NOT_DETERMINED} by these drifts")
            continue
        way = ways[0] if estimate.value >= 0 else ways[1]
        screen.line(f"polar {what}: {abs(estimate.value):.1f}' ± {estimate.sd:.1f}' too {way}")


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


def _show_steps(screen: Screen, steps: "list[StarStep]", landings: "list[Expected] | None" = None) -> None:
    columns = ["", "star", "mag", "altitude °", "azimuth °", "tube"]
    rows: list[list[object]] = [
        [s.order, s.name, f"{s.magnitude:.1f}", f"{s.alt_deg:.0f}", f"{s.az_deg:.0f}", s.pier_side]
        for s in steps
    ]
    if landings:
        columns += ["then half within '", "95 % within '", "in the field %"]
        for row, landing in zip(rows, landings, strict=True):
            chance = "" if landing.chance_in_field is None else f"{100 * landing.chance_in_field:.0f}"
            row += [f"{landing.half:.1f}", f"{landing.ninety_five_percent:.1f}", chance]
    screen.table(columns, rows)


def _percent(probability: float) -> str:
    """A probability that is never told as certain or impossible."""
    if probability < 0.01:
        return "< 1 %"
    return "> 99 %" if probability > 0.99 else f"{100 * probability:.0f} %"
