"""Deep-sky objects and stars gathered into one catalogue of arrays, to be planned with as a whole."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from obslog.errors import UnknownName
from obslog.sky.contrast.galaxy_light import bulge_share
from obslog.sky.names.deepsky import (
    DeepSkyObject,
    names_and_titles,
    object_columns,
    object_or_none,
)
from obslog.sky.names.double_stars import double_named, double_stars
from obslog.sky.names.lookup import found_or_none
from obslog.sky.names.object_types import ObjectType
from obslog.sky.names.star_tables import Star
from obslog.sky.places.apparent_places import Directions

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Array = NDArray[np.float64]

LISTS = {"messier": 110, "caldwell": 109}
"""The numbered lists that are known here, with their last number."""
DOUBLES = "doubles"
"""The list of showpiece double stars."""


@dataclass(frozen=True, kw_only=True)
class Catalogue:
    """Things with a fixed place, one element each; places J2000, nan is unknown, sizes in arcminutes.

    `bulge_share` is the part of a galaxy's light that is its bulge's; nan where its type is unknown, or it is none.
    """

    names: tuple[str, ...]
    titles: tuple[str, ...]
    types: tuple[str, ...]
    constellations: tuple[str, ...]
    ra_hours: Array
    dec_deg: Array
    pm_ra_mas_per_year: Array
    pm_dec_mas_per_year: Array
    magnitude: Array
    bands: tuple[str | None, ...]
    major_arcmin: Array
    minor_arcmin: Array
    bulge_share: Array

    def __len__(self) -> int:
        return len(self.names)

    @property
    def directions(self) -> Directions:
        return Directions(self.ra_hours, self.dec_deg, self.pm_ra_mas_per_year, self.pm_dec_mas_per_year)

    def with_others(self, others: "Catalogue") -> "Catalogue":
        """These things, and others behind them."""
        joined: dict[str, Any] = {}
        for field in fields(self):
            ours, theirs = getattr(self, field.name), getattr(others, field.name)
            is_array = isinstance(ours, np.ndarray)
            joined[field.name] = np.concatenate([ours, theirs]) if is_array else (*ours, *theirs)
        return Catalogue(**joined)

    def only(self, places: NDArray[np.intp]) -> "Catalogue":
        """The things at these places of the catalogue, in their order."""
        chosen: dict[str, Any] = {}
        for field in fields(self):
            column = getattr(self, field.name)
            is_array = isinstance(column, np.ndarray)
            chosen[field.name] = column[places] if is_array else tuple(column[place] for place in places)
        return Catalogue(**chosen)


def whole_catalogue() -> Catalogue:
    """Every deep-sky object, straight from the table's columns: making each object would take three times as long."""
    table = object_arrays()
    names, titles = names_and_titles(table.designations)
    still = np.zeros(len(names))
    bands = np.where(table.is_v, "V", np.where(np.isnan(table.magnitude), "", "B"))
    return Catalogue(
        names=names,
        titles=titles,
        types=table.types,
        constellations=table.constellations,
        ra_hours=table.ra_hours,
        dec_deg=table.dec_deg,
        pm_ra_mas_per_year=still,
        pm_dec_mas_per_year=still,
        magnitude=table.magnitude,
        bands=tuple(band or None for band in bands.tolist()),
        major_arcmin=table.major_arcmin,
        minor_arcmin=table.minor_arcmin,
        bulge_share=table.bulge_share,
    )


def listed_objects(name: str) -> Catalogue:
    """The objects of a list that is known here: messier, caldwell or doubles. Raises UnknownName."""
    key = name.strip().casefold()
    if key == DOUBLES:
        return _gathered([double.star for double in double_stars()])
    if key not in LISTS:
        raise UnknownName(
            "list", name, [*LISTS, DOUBLES], see="Or put one name a line into a file: --list FILE.csv"
        )
    found = (object_or_none(f"{key} {number}") for number in range(1, LISTS[key] + 1))
    return _gathered(list({thing.designation: thing for thing in found if thing is not None}.values()))


def named_things(names: Iterable[str]) -> tuple[Catalogue, list[str]]:
    """The things of these names, each once, and the names that are unknown here or wander among the stars."""
    things: dict[str, DeepSkyObject | Star] = {}
    left: list[str] = []
    for name in names:
        found = found_or_none(name)
        if found is None or not isinstance(found.thing, DeepSkyObject | Star):
            left.append(name)
        else:
            things[found.name] = found.thing
    return _gathered(list(things.values())), left


def _type_of(thing: DeepSkyObject | Star) -> str:
    if isinstance(thing, Star):
        return str(ObjectType.STAR if double_named(thing.name) is None else ObjectType.DOUBLE_STAR)
    return str(thing.type)


def _gathered(things: Sequence[DeepSkyObject | Star]) -> Catalogue:
    def column(name: str, otherwise: float = np.nan) -> Array:
        values = (getattr(thing, name, None) for thing in things)
        return np.array([otherwise if value is None else value for value in values], float)

    return Catalogue(
        names=tuple(thing.name if isinstance(thing, Star) else thing.known_as for thing in things),
        titles=tuple(thing.name if isinstance(thing, Star) else thing.title for thing in things),
        types=tuple(_type_of(thing) for thing in things),
        constellations=tuple(thing.constellation for thing in things),
        ra_hours=column("ra_hours"),
        dec_deg=column("dec_deg"),
        pm_ra_mas_per_year=column("pm_ra_mas_per_year", 0.0),
        pm_dec_mas_per_year=column("pm_dec_mas_per_year", 0.0),
        magnitude=column("magnitude"),
        bands=tuple(thing.band for thing in things),
        major_arcmin=column("major_arcmin"),
        minor_arcmin=column("minor_arcmin"),
        bulge_share=np.array([bulge_share(getattr(thing, "hubble_type", None)) for thing in things], float),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ObjectArrays:
    """The whole catalogue, one element an object, in the order of `objects()`; nan is unknown."""

    designations: tuple[str, ...]
    types: tuple[str, ...]
    constellations: tuple[str, ...]
    ra_hours: NDArray[np.float64]
    dec_deg: NDArray[np.float64]
    magnitude: NDArray[np.float64]  # V where known, else B
    is_v: NDArray[np.bool_]  # whether the magnitude is V
    major_arcmin: NDArray[np.float64]
    minor_arcmin: NDArray[np.float64]
    surface_brightness: NDArray[np.float64]
    bulge_share: NDArray[np.float64]  # nan for what is no galaxy, too


@lru_cache(maxsize=1)
def object_arrays() -> ObjectArrays:
    """The whole catalogue as arrays that cannot be changed; places J2000, nan is unknown."""
    designations, types, ra, dec, constellations, major, minor, _, v, b, surface, _, _, hubble = (
        object_columns()
    )

    def numbers(column: list[str]) -> NDArray[np.float64]:
        values = np.array([float(text) if text else np.nan for text in column])
        values.flags.writeable = False  # the arrays are shared by all who ask
        return values

    share_of = {kind: bulge_share(kind) for kind in set(hubble)}
    shares = np.array([share_of[kind] for kind in hubble])
    v_mag = numbers(v)
    is_v = ~np.isnan(v_mag)
    magnitude = np.where(is_v, v_mag, numbers(b))
    is_v.flags.writeable = magnitude.flags.writeable = shares.flags.writeable = False
    return ObjectArrays(
        designations=tuple(designations),
        types=tuple(types),
        constellations=tuple(constellations),
        ra_hours=numbers(ra),
        dec_deg=numbers(dec),
        magnitude=magnitude,
        is_v=is_v,
        major_arcmin=numbers(major),
        minor_arcmin=numbers(minor),
        surface_brightness=numbers(surface),
        bulge_share=shares,
    )
