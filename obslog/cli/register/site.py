"""Sites."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.angles import read_latitude_deg, read_longitude_deg
from obslog.cli.register.named_records import Record, add_retire, given, named_group, show_record
from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Name, Note, Rename, Sure
from obslog.errors import WrongInput
from obslog.horizon import horizon_text, read_horizon

if TYPE_CHECKING:
    from obslog.records.database import Database

app = named_group(
    "site", "The sites one observes from.", ("name", "lat_deg", "lon_deg", "elevation_m", "zone")
)

_LAT = typer.Option(
    "--lat", help='Latitude, north positive: 52.2, or "52 12 N".', parser=read_latitude_deg, metavar="ANGLE"
)
_LON = typer.Option(
    "--lon", help='Longitude, EAST positive: -3.1, or "3 6 W".', parser=read_longitude_deg, metavar="ANGLE"
)
Place = Annotated[
    str | None,
    typer.Option("--place", help='Both in one, as copied from a map: "52.2 0.12", "52 12 30 N, 0 7 12 E".'),
]
_ZONE = typer.Option("--tz", help="IANA time zone, like Europe/London.", metavar="ZONE")
Elevation = Annotated[float | None, typer.Option("--elevation-m", help="Height above the sea, metres.")]
Horizon = Annotated[
    str | None,
    typer.Option(
        "--horizon",
        help='What trees and houses hide, azimuth:altitude: 0:10,90:25; an empty one, "", deletes it.',
    ),
]
Private = Annotated[
    bool | None,
    typer.Option(
        "--private/--not-private",
        help="Whether bundles for other laptops tell where it lies to 0.01 degree only.",
        show_default=False,
    ),
]


class PlaceMissing(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "Where the site lies is not given.", 'Give --lat and --lon, or both in one: --place "52.2 0.12"'
        )


class PlaceGivenTwice(WrongInput):
    def __init__(self) -> None:
        super().__init__("The place is given twice.", "Give --place, or --lat and --lon.")


@command(app, "add", show=show_record)
def add_site(
    database: "Database",
    now: datetime,
    name: Name,
    tz: Annotated[str, _ZONE],
    lat: Annotated[float | None, _LAT] = None,
    lon: Annotated[float | None, _LON] = None,
    place: Place = None,
    elevation_m: Elevation = None,
    horizon: Horizon = None,
    private: Private = None,
    sure: Sure = False,
    note: Note = None,
) -> Record:
    """Put a site on record.

    obslog site add "Mill Field" --lat 52.2 --lon 2.9 --elevation-m 20 --tz Europe/London
    """
    from obslog.club.register.named_records import add

    lat, lon = _coordinates(lat, lon, place)
    if lat is None or lon is None:
        raise PlaceMissing
    values = _values(lat, lon, tz, elevation_m, horizon, private, note)
    return add(database, "site", name, values, now, sure=sure)


@command(app, "edit", show=show_record)
def edit_site(
    database: "Database",
    now: datetime,
    name: Name,
    lat: Annotated[float | None, _LAT] = None,
    lon: Annotated[float | None, _LON] = None,
    place: Place = None,
    tz: Annotated[str | None, _ZONE] = None,
    elevation_m: Elevation = None,
    horizon: Horizon = None,
    private: Private = None,
    rename: Rename = None,
    sure: Sure = False,
    note: Note = None,
) -> Record:
    """Change what is on record of a site."""
    from obslog.club.register.named_records import edit

    lat, lon = _coordinates(lat, lon, place)
    values = _values(lat, lon, tz, elevation_m, horizon, private, note)
    return edit(database, "site", name, values, now, rename=rename, sure=sure)


def _coordinates(
    lat: float | None, lon: float | None, place: str | None
) -> tuple[float | None, float | None]:
    """Latitude and longitude, given one by one or in one; raises PlaceGivenTwice, and what `read_place` raises."""
    if place is None:
        return lat, lon
    if lat is not None or lon is not None:
        raise PlaceGivenTwice
    from obslog.grammar.place_words import read_place

    return read_place(place)


def _values(
    lat: float | None,
    lon: float | None,
    tz: str | None,
    elevation_m: float | None,
    horizon: str | None,
    private: bool | None,
    note: str | None,
) -> Record:
    values = given(
        {
            "lat_deg": lat,
            "lon_deg": lon,
            "elevation_m": elevation_m,
            "zone": tz,
            "private": private,
            "note": note,
        }
    )
    if horizon is not None:
        values["horizon"] = horizon_text(read_horizon(horizon)) or None
    return values


add_retire(app, "site")
