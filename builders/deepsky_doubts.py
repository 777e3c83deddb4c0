"""What in the table of deep-sky objects cannot be right, or is missing where people look: a list to be read by eye.

    python -m builders.deepsky_doubts

A test holds the list to the agreed one, deepsky_doubts_agreed.csv, which gives a reason for each.
"""

import csv
import math
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from builders.deepsky_magnitudes import USUAL_GALAXY_COLOUR, b_from_surface
from obslog.sky.names.deepsky import DeepSkyObject, objects
from obslog.sky.names.object_types import ObjectType, types_named

AGREED = Path(__file__).with_name("deepsky_doubts_agreed.csv")

# Bluest and reddest B - V. Lines of glowing gas give a planetary any colour, dust a globular the reddest.
_COLOURS = {
    ObjectType.GALAXY: (-0.3, 1.6),
    ObjectType.GLOBULAR_CLUSTER: (0.0, 2.2),
    ObjectType.OPEN_CLUSTER: (-0.4, 1.8),
    ObjectType.PLANETARY_NEBULA: (-0.9, 3.3),
}
_ANY_COLOUR = (-0.5, 1.8)
# Brightest and faintest mean surface, V magnitudes per square arcsecond.
_SURFACES = {
    ObjectType.GALAXY: (18.0, 26.0),
    ObjectType.GLOBULAR_CLUSTER: (16.0, 25.0),
    ObjectType.PLANETARY_NEBULA: (13.0, 26.0),
    ObjectType.CLUSTER_WITH_NEBULA: (18.0, 27.0),
    ObjectType.HYDROGEN_REGION: (17.0, 27.0),
    ObjectType.EMISSION_NEBULA: (17.0, 27.0),
    ObjectType.NEBULA: (18.0, 27.0),
    ObjectType.REFLECTION_NEBULA: (18.0, 27.0),
    ObjectType.SUPERNOVA_REMNANT: (19.0, 27.0),
}
_BRIGHT_GALAXY, _BRIGHT_CLUSTER = 11.5, 7.0
_OFF_THE_SURFACE_MAG = 1.5


class Doubt(NamedTuple):
    designation: str
    about: str


def doubts() -> list[Doubt]:
    """Every doubt about every object, in the order of the table."""
    return [Doubt(thing.designation, about) for thing in objects() for about in doubts_about(thing)]


def agreed() -> dict[Doubt, str]:
    """The doubts that were looked at, with the reason for leaving each as it is."""
    with AGREED.open(encoding="utf-8", newline="") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return {Doubt(row["designation"], row["about"]): row["reason"] for row in rows}


def doubts_about(thing: DeepSkyObject) -> Iterator[str]:
    """What seems wrong with one object, in a few words each."""
    showpiece = bool(thing.names or thing.messier or thing.caldwell)
    if showpiece and thing.magnitude is None and thing.type is not ObjectType.DARK_NEBULA:
        yield "no magnitude"
    if showpiece and thing.major_arcmin is None and thing.type not in types_named("star"):
        yield "no size"
    if thing.v_mag is not None:
        yield from _doubts_of_v(thing, thing.v_mag)


def _doubts_of_v(thing: DeepSkyObject, v_mag: float) -> Iterator[str]:
    if thing.b_mag is not None:
        bluest, reddest = _COLOURS.get(thing.type, _ANY_COLOUR)
        if not bluest <= thing.b_mag - v_mag <= reddest:
            yield "V against B"
    surface = _mean_surface(thing, v_mag)
    if surface is not None and thing.type in _SURFACES:
        brightest, faintest = _SURFACES[thing.type]
        if not brightest <= surface <= faintest:
            yield "surface"
    by_surface = b_from_surface(thing.surface_brightness, thing.major_arcmin, thing.minor_arcmin)
    off = None if by_surface is None else abs(v_mag - by_surface + USUAL_GALAXY_COLOUR)
    if off is not None and off > _OFF_THE_SURFACE_MAG and v_mag < _BRIGHT_GALAXY:
        yield "V against surface"
    # The source gives the radius of the core; observers speak of the whole.
    if thing.type is ObjectType.OPEN_CLUSTER and v_mag < _BRIGHT_CLUSTER and thing.size_from is None:
        yield "size of the core"


def _mean_surface(thing: DeepSkyObject, v_mag: float) -> float | None:
    if thing.major_arcmin is None:
        return None
    area_arcsec2 = math.pi / 4 * thing.major_arcmin * (thing.minor_arcmin or thing.major_arcmin) * 3600
    return v_mag + 2.5 * math.log10(area_arcsec2)


def main() -> None:
    known = agreed()
    for doubt in doubts():
        sys.stdout.write(f"{doubt.designation}: {doubt.about}; {known.get(doubt, 'NOT AGREED')}\n")


if __name__ == "__main__":
    main()
