"""The sample sheets of known truth, with the stars' places worked out by Skyfield (10 C, 1010 hPa)."""

import csv
import json
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import skyfield_data
from skyfield.api import Star, load, load_file, wgs84
from skyfield.earthlib import refract

from obslog.pointing.model.frames import BoolArray, FloatArray, IntArray
from obslog.pointing.model.geometry import AxisErrors, StarPlaces

SAMPLES = Path(__file__).parents[2] / "samples"
NAMES = ("german_exact", "german_one_sync", "german_three_syncs", "german_south", "german_wrong_stars")


@dataclass(frozen=True)
class Sheet:
    truth: dict[str, Any]
    stars: StarPlaces
    setup: IntArray
    is_sync: BoolArray
    centring_arcmin: FloatArray
    east_arcmin: FloatArray
    north_arcmin: FloatArray

    def true_errors(self, setup: IntArray) -> AxisErrors:
        """What the truth says, without zero points, for rows that belong to these set-ups."""
        truth = self.truth
        polar = [(s["polar_altitude_arcmin"], s["polar_azimuth_arcmin"]) for s in truth["setups"]]
        altitude, azimuth = np.array(polar).T
        return AxisErrors(
            polar_altitude_arcmin=altitude[setup],
            polar_azimuth_arcmin=azimuth[setup],
            cone_arcmin=truth["cone_arcmin"],
            squareness_arcmin=truth["squareness_arcmin"],
            sag_arcmin=truth["sag_arcmin"],
        )


@cache
def read_sheet(name: str) -> Sheet:
    truth = json.loads((SAMPLES / "truth.json").read_text())[name]
    with (SAMPLES / f"{name}.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    nights = [setup["night"] for setup in truth["setups"]]
    hour_angle, dec, refraction = _places(rows, truth["site"])
    return Sheet(
        truth=truth,
        stars=StarPlaces(
            hour_angle,
            dec,
            np.full(len(rows), truth["site"]["lat_deg"]),
            refraction,
            np.array([row["pier_side"] == "west" for row in rows]),
        ),
        setup=np.array([nights.index(row["night"]) for row in rows]),
        is_sync=np.array([row["role"] == "sync" for row in rows]),
        centring_arcmin=np.array([float(row["centring_arcmin"]) for row in rows]),
        east_arcmin=np.array([float(row["offset_east_arcmin"] or "nan") for row in rows]),
        north_arcmin=np.array([float(row["offset_north_arcmin"] or "nan") for row in rows]),
    )


def _places(rows: list[dict[str, str]], site: dict[str, Any]) -> tuple[FloatArray, FloatArray, FloatArray]:
    kernel = load_file(str(Path(skyfield_data.__file__).parent / "data" / "de421.bsp"))
    times = load.timescale(builtin=True).from_datetimes([datetime.fromisoformat(row["utc"]) for row in rows])
    observer = kernel["earth"] + wgs84.latlon(site["lat_deg"], site["lon_deg"], site["elevation_m"])
    places = []
    for row, time in zip(rows, times, strict=True):
        star = Star(ra_hours=float(row["ra_hours"]), dec_degrees=float(row["dec_deg"]))
        apparent = observer.at(time).observe(star).apparent()
        hour_angle, dec, _ = apparent.hadec()
        altitude_deg = apparent.altaz()[0].degrees
        raised_arcmin = 60.0 * (refract(altitude_deg, 10.0, 1010.0) - altitude_deg)
        places.append((15.0 * hour_angle.hours, dec.degrees, raised_arcmin))
    kernel.close()
    hour_angles, decs, refractions = np.array(places).T
    return hour_angles, decs, refractions
