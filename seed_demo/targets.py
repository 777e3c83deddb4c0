"""The stars and deep-sky objects that the club goes to, and which of them stand well at a given time."""

import csv
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from obslog.sky.names.deepsky import find_object
from obslog.sky.names.star_tables import all_stars

from .club import Site
from .mount_model import Floats
from .seasons import DAY_S, altitude_and_hour_angle, place_of_date

STAR_COUNT = 125
HERE = Path(__file__).parent
LOWEST_ALT_DEG = 17.0
HIGHEST_ALT_DEG = 82.0
CLOSEST_TO_POLE_DEC_DEG = 75.0


@dataclass(frozen=True, eq=False)
class TargetTable:
    """Targets of one sort: ICRS places at J2000.0, proper motion on the sky, magnitude (nan: unknown)."""

    names: tuple[str, ...]
    kinds: tuple[str, ...]
    ra_hours: Floats
    dec_deg: Floats
    pm_ra_mas_per_year: Floats
    pm_dec_mas_per_year: Floats
    magnitude: Floats

    @cached_property
    def row_of(self) -> dict[str, int]:
        return {name: row for row, name in enumerate(self.names)}

    def moved_to(self, index: int, seconds: float) -> tuple[float, float]:
        """The ICRS place (hours, degrees) of one target with its proper motion up to then."""
        years = seconds / DAY_S / 365.25
        mas_per_degree = 3_600_000.0
        dec_deg = self.dec_deg[index] + self.pm_dec_mas_per_year[index] * years / mas_per_degree
        turn_deg = self.pm_ra_mas_per_year[index] * years / mas_per_degree / np.cos(np.radians(dec_deg))
        return float(self.ra_hours[index] + turn_deg / 15.0), float(dec_deg)


# Magnitudes that the invented visits were drawn with, of one star of a close pair: another number gives another club.
DRAWN_WITH = {
    "Acrux": 1.33, "Shaula": 2.08, "Castor": 1.98, "Algieba": 2.61, "Acrab": 2.56, "Porrima": 3.44, "Cor Caroli": 2.89,
    "Rasalgethi": 3.37,
}  # fmt: skip


@cache
def stars() -> TargetTable:
    """The brightest stars that have a name of their own and no bright neighbour to be mistaken for."""
    named = [star for star in all_stars() if star.is_named and star.too_close_to is None]
    brightest = [star for star in named if abs(star.dec_deg) < CLOSEST_TO_POLE_DEC_DEG][:STAR_COUNT]
    return TargetTable(
        tuple(star.name for star in brightest),
        ("star",) * len(brightest),
        *np.array(
            [
                (
                    star.ra_hours,
                    star.dec_deg,
                    star.pm_ra_mas_per_year,
                    star.pm_dec_mas_per_year,
                    DRAWN_WITH.get(star.name, star.magnitude),
                )
                for star in brightest
            ]
        ).T,
    )


@cache
def deep_sky() -> TargetTable:
    """The showpieces of both hemispheres; places are the program's, rounded as people write them."""
    with (HERE / "showpieces.csv").open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    places = [find_object(row["name"]) for row in rows]
    still, unknown = np.zeros(len(rows)), np.full(len(rows), np.nan)
    return TargetTable(
        tuple(row["name"] for row in rows),
        tuple(row["kind"] for row in rows),
        np.array([round(place.ra_hours, 4) for place in places]),
        np.array([round(place.dec_deg, 3) for place in places]),
        still,
        still,
        unknown,
    )


def standing(targets: TargetTable, seconds: float, site: Site) -> tuple[Floats, Floats]:
    """Altitude and hour angle, degrees, of every target: for choosing."""
    ra_deg, dec_deg = places_of_year(targets, round(seconds / DAY_S / 365.25))
    return altitude_and_hour_angle(ra_deg, dec_deg, np.array(seconds), site)


@cache
def places_of_year(targets: TargetTable, years: int) -> tuple[Floats, Floats]:
    return place_of_date(targets.ra_hours, targets.dec_deg, years)


def well_placed(targets: TargetTable, alt_deg: Floats) -> NDArray[np.bool_]:
    """High enough, not overhead, and not so near the pole that nobody would choose it."""
    in_reach = (alt_deg > LOWEST_ALT_DEG) & (alt_deg < HIGHEST_ALT_DEG)
    return np.asarray(in_reach & (np.abs(targets.dec_deg) < CLOSEST_TO_POLE_DEC_DEG))
