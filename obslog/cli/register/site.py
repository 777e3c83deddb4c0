"""Sites."""

from typing import Annotated

import typer

from obslog.angles import read_latitude_deg, read_longitude_deg
from obslog.cli.register.named_records import add_thing, edit_thing, named_group
from obslog.cli.terminal.options import AsJson, Name, Note, Sure
from obslog.horizon import horizon_text, read_horizon

app = named_group("site", "Places one observes from.", ("name", "lat_deg", "lon_deg", "elevation_m", "zone"))

Lat = Annotated[str, typer.Option("--lat", help="Latitude, north positive: 52.2, or '52 12 N'.")]
Lon = Annotated[str, typer.Option("--lon", help="Longitude, EAST positive: -3.1, or '3 6 W'.")]
Zone = Annotated[str, typer.Option("--tz", help="IANA time zone, like Europe/London.")]
Elevation = Annotated[float | None, typer.Option("--elevation-m", help="Height above the sea, metres.")]
Horizon = Annotated[
    str | None, typer.Option("--horizon", help="What trees and houses hide, azimuth:altitude: '0:10,90:25'.")
]
Rename = Annotated[str | None, typer.Option("--rename", help="A new name.")]


@app.command("add")
def add_site(
    context: typer.Context,
    name: Name,
    lat: Lat,
    lon: Lon,
    tz: Zone,
    elevation_m: Elevation = None,
    horizon: Horizon = None,
    sure: Sure = False,
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """Put a site on record.

    obslog site add 'Mill Field' --lat 52.2 --lon 0.12 --elevation-m 20 --tz Europe/London
    """
    values = {
        "lat_deg": read_latitude_deg(lat),
        "lon_deg": read_longitude_deg(lon),
        "elevation_m": elevation_m,
        "zone": tz,
        "horizon": horizon_text(read_horizon(horizon)) or None if horizon is not None else None,
        "note": note,
    }
    add_thing(context, "site", name, values, as_json, sure=sure)


@app.command("edit")
def edit_site(
    context: typer.Context,
    name: Name,
    lat: Annotated[str | None, typer.Option("--lat", help="Latitude, north positive.")] = None,
    lon: Annotated[str | None, typer.Option("--lon", help="Longitude, EAST positive.")] = None,
    tz: Annotated[str | None, typer.Option("--tz", help="IANA time zone.")] = None,
    elevation_m: Elevation = None,
    horizon: Horizon = None,
    rename: Rename = None,
    sure: Sure = False,
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """Change what is on record of a site."""
    values = {
        "lat_deg": read_latitude_deg(lat) if lat else None,
        "lon_deg": read_longitude_deg(lon) if lon else None,
        "elevation_m": elevation_m,
        "zone": tz,
        "horizon": horizon_text(read_horizon(horizon)) or None if horizon is not None else None,
        "note": note,
    }
    edit_thing(context, "site", name, values, rename, as_json, sure=sure)
