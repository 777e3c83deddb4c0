"""The polar axis from the drift of stars."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.site_and_time import view_meant
from obslog.cli.terminal.caution import show_caution
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Site
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.estimate_words import NOT_DETERMINED

if TYPE_CHECKING:
    from obslog.club.aligning.drift_alignment import DriftPage
    from obslog.records.database import Database

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


def add_to(app: typer.Typer) -> None:
    """Put the drift alignment among the commands of pointing."""
    command(app, "drift", show=show_drifts)(drift)


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
    for what, estimate, of, ways in (
        ("altitude", page.polar_altitude, "", ("high", "low")),
        ("azimuth", page.polar_azimuth, " of azimuth", ("far east", "far west")),
    ):
        if not estimate.determined:
            screen.line(f"polar {what}: {NOT_DETERMINED} by these drifts")
            continue
        way = ways[0] if estimate.value >= 0 else ways[1]
        screen.line(f"polar {what}: {abs(estimate.value):.1f}' ± {estimate.sd:.1f}'{of} too {way}")
    for adjuster in page.adjusters:
        screen.line(adjuster)
