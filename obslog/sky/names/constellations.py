"""The 88 constellations: their abbreviations, Latin names and genitives.

On the path of every quick command: imports neither numpy nor Skyfield.
"""

import csv
from functools import cache
from pathlib import Path
from typing import NamedTuple

from obslog.sky.names.spelling import folded

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
