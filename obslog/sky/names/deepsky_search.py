"""Searching the deep-sky catalogue by part of a name, and the catalogue as arrays for whole-sky sums."""

from dataclasses import dataclass
from functools import lru_cache
from math import inf
from typing import TYPE_CHECKING

from obslog.sky.names.deepsky import DeepSkyObject, object_of, object_rows
from obslog.sky.names.deepsky_names import common_names, name_key, other_designations, read_designation

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

EXACT, PREFIX, PART = range(3)


@dataclass(frozen=True, slots=True)
class ObjectArrays:
    """The whole catalogue, one element an object, in the order of `objects()`; nan is unknown."""

    designations: tuple[str, ...]
    types: tuple[str, ...]
    constellations: tuple[str, ...]
    ra_hours: "NDArray[np.float64]"
    dec_deg: "NDArray[np.float64]"
    magnitude: "NDArray[np.float64]"  # V where known, else B
    is_v: "NDArray[np.bool_]"  # whether the magnitude is V
    major_arcmin: "NDArray[np.float64]"
    minor_arcmin: "NDArray[np.float64]"
    surface_brightness: "NDArray[np.float64]"


def search_objects(text: str) -> list[DeepSkyObject]:
    """The objects with `text` in a name or designation: as the whole, at the start, anywhere; brighter first.

    Case, accents, apostrophes and spaces do not matter. A text without a letter or digit finds nothing.
    """
    key = name_key(read_designation(text) or text)
    if not key:
        return []
    best: dict[str, int] = {}
    for name, designation in _keys():
        if key in name:
            rank = EXACT if name == key else PREFIX if name.startswith(key) else PART
            best[designation] = min(rank, best.get(designation, PART))
    found = [object_of(row) for row in object_rows() if row[0] in best]
    return sorted(found, key=lambda thing: (best[thing.designation], _brightness(thing)))


@lru_cache(maxsize=1)
def object_arrays() -> ObjectArrays:
    """The whole catalogue as arrays that cannot be changed; places J2000, nan is unknown."""
    import numpy as np

    designations, types, ra, dec, constellations, major, minor, _, v, b, surface = zip(
        *object_rows(), strict=True
    )

    def numbers(column: tuple[str, ...]) -> "NDArray[np.float64]":
        values = np.array([float(text) if text else np.nan for text in column])
        values.flags.writeable = False  # the arrays are shared by all who ask
        return values

    v_mag = numbers(v)
    is_v = ~np.isnan(v_mag)
    magnitude = np.where(is_v, v_mag, numbers(b))
    is_v.flags.writeable = magnitude.flags.writeable = False
    return ObjectArrays(
        designations=designations,
        types=types,
        constellations=constellations,
        ra_hours=numbers(ra),
        dec_deg=numbers(dec),
        magnitude=magnitude,
        is_v=is_v,
        major_arcmin=numbers(major),
        minor_arcmin=numbers(minor),
        surface_brightness=numbers(surface),
    )


def _brightness(thing: DeepSkyObject) -> float:
    return inf if thing.magnitude is None else thing.magnitude


@lru_cache(maxsize=1)
def _keys() -> list[tuple[str, str]]:
    """Every name and designation reduced to its key, with the object's own designation."""
    own = ((row[0], row[0]) for row in object_rows())
    pairs = [*own, *other_designations().items(), *common_names()]
    return [(name_key(name), designation) for name, designation in pairs if designation]
