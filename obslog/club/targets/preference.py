"""Which targets to choose: the surer ones first, the best of each kind in turn, and neighbours in one place."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from obslog.club.targets.how_sure import MOON, STARRY, Sure
from obslog.sky.evening.object_arrays import Catalogue
from obslog.sky.names.object_types import FAMILIES, ObjectType

Floats = NDArray[np.float64]
Masks = NDArray[np.bool_]

# Common practice: from here on an evening is for what is made of stars, and galaxies and nebulae come after it.
BRIGHT_MOONLIGHT_MAG = 1.5
# Where no field is known: about what a low magnification shows.
USUAL_FIELD_ARCMIN = 60.0
_GOOD = (Sure.EASILY, Sure.WITH_CARE)
_ALONE = frozenset((MOON, "planet", str(ObjectType.STAR), str(ObjectType.DOUBLE_STAR)))
_GALAXIES, _GLOBULARS, _NEBULAE = "galaxies", "globular clusters", "nebulae"
_OPEN, _WANDERING, _STARS = "open clusters", "Moon and planets", "double stars"
KINDS = (_GALAXIES, _GLOBULARS, _NEBULAE, _OPEN, _WANDERING, _STARS)
"""The kinds that take turns, in the order of their turns."""


@dataclass(frozen=True, slots=True)
class PlaceInPlan:
    """A place of the plan: the thing that it goes by, and neighbours that are seen with it; places in the catalogue."""

    first: int
    beside: tuple[int, ...]


def kind_of(type_word: str) -> str:
    """The kind in whose turn a thing of this type comes; what is nothing else is a nebula, and M 42 is one."""
    if type_word in FAMILIES["galaxy"]:
        return _GALAXIES
    if type_word == ObjectType.GLOBULAR_CLUSTER:
        return _GLOBULARS
    if type_word in (ObjectType.OPEN_CLUSTER, ObjectType.ASSOCIATION):
        return _OPEN
    if type_word in FAMILIES["star"]:
        return _STARS
    return _WANDERING if type_word in ("planet", MOON) else _NEBULAE


def preferred(
    catalogue: Catalogue,
    places: NDArray[np.intp],
    sure: Sequence[Sure],
    moonlight_mag: Floats,
    field_arcmin: float | None = None,
) -> list[int]:
    """The places of the catalogue in order of preference; `sure` and `moonlight_mag` are of these places, in order.

    What is seen easily or with care, easily first, one of each kind in turn, the brightest first; then what glows,
    where the Moon brightens the sky behind it much, and clusters wider than the field, where it is known; then what is
    hardly seen; then what is not known.
    """
    magnitude = [_brightness(catalogue, int(place)) for place in places]
    kinds = [
        _turn(str(catalogue.types[place]), float(light))
        for place, light in zip(places, moonlight_mag, strict=True)
    ]
    glows = np.array([kind in (_GALAXIES, _NEBULAE) for kind in kinds], bool)
    drowning = glows & (moonlight_mag >= BRIGHT_MOONLIGHT_MAG)
    later = drowning | _too_wide(catalogue, places, field_arcmin)
    tiers = [_tier(word, comes_later=bool(late)) for word, late in zip(sure, later, strict=True)]
    turns: dict[tuple[int, str], int] = {}
    ranked: list[tuple[int, int, int, int]] = []
    for n in sorted(range(len(places)), key=lambda n: (tiers[n], magnitude[n])):
        turn = turns.setdefault((tiers[n], kinds[n]), 0)
        turns[tiers[n], kinds[n]] += 1
        ranked.append((tiers[n], turn, KINDS.index(kinds[n]), int(places[n])))
    return [place for *_, place in sorted(ranked)]


def _brightness(catalogue: Catalogue, place: int) -> float:
    if catalogue.types[place] == MOON:
        return -np.inf
    magnitude = float(catalogue.magnitude[place])
    return np.inf if np.isnan(magnitude) else magnitude


def _turn(type_word: str, moonlight_mag: float) -> str:
    """The kind in whose turn a thing comes: bright moonlight leaves of a cluster in a nebula the cluster."""
    if type_word == ObjectType.CLUSTER_WITH_NEBULA and moonlight_mag >= BRIGHT_MOONLIGHT_MAG:
        return _OPEN
    return kind_of(type_word)


def _too_wide(catalogue: Catalogue, places: NDArray[np.intp], field_arcmin: float | None) -> Masks:
    """Clusters of which the field shows a part: they do not look like clusters there."""
    if field_arcmin is None:
        return np.zeros(places.size, bool)
    starry = np.array([catalogue.types[place] in STARRY for place in places], bool)
    return np.asarray(starry & (catalogue.major_arcmin[places] > field_arcmin))


def _tier(sure: Sure, *, comes_later: bool) -> int:
    if sure in _GOOD:
        return _GOOD.index(sure) + (len(_GOOD) if comes_later else 0)
    return 2 * len(_GOOD) + (0 if sure is Sure.HARDLY else 1)


def with_neighbours(
    catalogue: Catalogue, order: Sequence[int], good: Masks, field_arcmin: float
) -> Iterator[PlaceInPlan]:
    """The order once more, with neighbours in one place: those that a single field of view holds.

    Every two of them are nearer than 0.87 of the field's width: then a circle of that width holds all their centres
    (H. W. E. Jung 1901: 2 / sqrt 3 times the largest distance is wide enough). Only what is seen easily or with care
    (`good`, by places of the catalogue) stands beside another; Moon, planets and stars stand alone. A place goes by
    its brightest Messier object, else by the brightest.
    """
    nearest = np.cos(np.radians(field_arcmin / 60 * 3**0.5 / 2))
    sight = _sight(catalogue)
    joins = good & np.array([str(kind) not in _ALONE for kind in catalogue.types], bool)
    open_ones = np.array([place for place in order if joins[place]], np.intp)
    taken = np.zeros(len(catalogue), bool)
    for first in order:
        if taken[first]:
            continue
        taken[first] = True
        beside: list[int] = []
        if joins[first]:
            close = open_ones[sight[open_ones] @ sight[first] >= nearest]
            for place in close[~taken[close]]:
                if all(sight[place] @ sight[other] >= nearest for other in beside):
                    beside.append(int(place))
                    taken[place] = True
        yield _named(catalogue, first, beside)


def _named(catalogue: Catalogue, first: int, beside: Sequence[int]) -> PlaceInPlan:
    """A place as people call it: nobody looks for M 42 under NGC 1973, nor for M 31 under M 32."""
    held = (first, *beside)
    messier = [place for place in held if catalogue.names[place].startswith("M ")]
    known = min(messier or held, key=lambda place: _brightness(catalogue, place))
    return PlaceInPlan(known, tuple(place for place in held if place != known))


def _sight(catalogue: Catalogue) -> Floats:
    ra, dec = np.radians(catalogue.ra_hours * 15), np.radians(catalogue.dec_deg)
    return np.stack([np.cos(dec) * np.cos(ra), np.cos(dec) * np.sin(ra), np.sin(dec)], axis=1)
