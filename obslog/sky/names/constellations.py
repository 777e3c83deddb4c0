"""The 88 constellations: abbreviations, Latin names and genitives, and which of them holds a direction.

On the path of every quick command: imports neither numpy nor Skyfield until a direction is asked for.
"""

import csv
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from obslog.sky.names.spelling import folded

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

_TABLE = Path(__file__).parents[1] / "tables" / "constellations.csv"


class Constellation(NamedTuple):
    """A constellation: IAU abbreviation (`Lyr`), Latin name (`Lyra`), genitive (`Lyrae`)."""

    abbreviation: str
    name: str
    genitive: str


@cache
def all_constellations() -> dict[str, Constellation]:
    """The constellations by abbreviation."""
    with _TABLE.open(encoding="utf-8", newline="") as file:
        rows = csv.reader(line for line in file if not line.startswith("#"))
        next(rows)
        return {row[0]: Constellation(*row) for row in rows}


@cache
def abbreviations_by_spelling() -> dict[str, str]:
    """The abbreviation for each folded spelling: abbreviation, name or genitive."""
    return {folded(spelling): c.abbreviation for c in all_constellations().values() for spelling in c}


def constellation_at(ra_hours: "ArrayLike", dec_deg: "ArrayLike") -> "NDArray[np.str_]":
    """The abbreviations of the constellations that hold ICRS directions; the shape of the input.

    Source: N. G. Roman, PASP 99 (1987) 695: boundaries of 1930 at equinox B1875, by Skyfield.
    """
    import numpy as np
    from skyfield.api import load_constellation_map, position_of_radec

    position = position_of_radec(ra_hours, dec_deg)
    return np.asarray(load_constellation_map()(position))
