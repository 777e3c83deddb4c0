"""Searching the deep-sky catalogue by part of a name."""

from functools import lru_cache
from math import inf

from obslog.sky.names.deepsky import DeepSkyObject, object_of, object_rows
from obslog.sky.names.deepsky_names import common_names, name_key, other_designations, read_designation

EXACT, PREFIX, PART = range(3)


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


def _brightness(thing: DeepSkyObject) -> float:
    return inf if thing.magnitude is None else thing.magnitude


@lru_cache(maxsize=1)
def _keys() -> list[tuple[str, str]]:
    """Every name and designation reduced to its key, with the object's own designation."""
    own = ((row[0], row[0]) for row in object_rows())
    pairs = [*own, *other_designations().items(), *common_names()]
    return [(name_key(name), designation) for name, designation in pairs if designation]
