"""Double stars as targets: how bright the two are, how far apart, and whether a tube can part them.

On the path of quick commands: imports neither numpy nor Skyfield.
"""

import csv
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path

from obslog.sky.names.star_tables import Star
from obslog.sky.names.stars import find_star

_TABLE = Path(__file__).parents[1] / "tables" / "double_stars.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class DoubleStar:
    """A pair as it was in a year: V magnitudes of the brighter and the fainter star, and how they stand.

    The position angle is the fainter star's, from north through east; None where the pair turns too fast for one.
    """

    star: Star
    magnitude_a: float
    magnitude_b: float
    separation_arcsec: float
    position_angle_deg: float | None
    year: int


class Parted(StrEnum):
    """Whether a tube can show two stars apart in steady air, by its aperture alone."""

    YES = "yes"
    JUST = "just"
    NO = "no"


def double_stars() -> tuple[DoubleStar, ...]:
    """The pairs that are known here, in the order of the table."""
    return tuple(_double_star(name) for name in _rows())


def double_named(name: str) -> DoubleStar | None:
    """The pair of a star's own name, as obslog shows it; None for a star that is not listed as double."""
    return _double_star(name) if name in _rows() else None


@cache
def _rows() -> dict[str, dict[str, str]]:
    """The lines of the table by the name of the star. Who asks for one pair waits for no other star."""
    with _TABLE.open(encoding="utf-8", newline="") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return {row["star"]: row for row in rows}


@cache
def _double_star(name: str) -> DoubleStar:
    row = _rows()[name]
    return DoubleStar(
        star=find_star(f"HIP {row['hip']}"),
        magnitude_a=float(row["magnitude_a"]),
        magnitude_b=float(row["magnitude_b"]),
        separation_arcsec=float(row["separation_arcsec"]),
        position_angle_deg=float(row["position_angle_deg"]) if row["position_angle_deg"] else None,
        year=int(row["year"]),
    )


def parted(separation_arcsec: float, dawes_arcsec: float, rayleigh_arcsec: float) -> Parted:
    """Whether stars so far apart are seen as two: beyond Rayleigh's limit yes, down to Dawes's just, below not.

    Neglects: that a companion much fainter needs two or three times the distance, and the air, often worse than either.
    """
    if separation_arcsec >= rayleigh_arcsec:
        return Parted.YES
    return Parted.JUST if separation_arcsec >= dawes_arcsec else Parted.NO
