"""Where the star of each arrival on record stood at its time."""

from dataclasses import fields
from functools import lru_cache

import numpy as np

from obslog.club.performance.arrival_columns import ArrivalColumns
from obslog.sky.names.lookup import found_or_none
from obslog.sky.names.solar_system import Body
from obslog.sky.names.star_tables import Star
from obslog.sky.places.apparent_places import Directions, Places, apparent_places
from obslog.sky.places.ephemeris import body_places
from obslog.values import Place

PLACE_COLUMNS = [field.name for field in fields(Places)]
Fixed = tuple[float, float, float, float, float]
UNKNOWN: Fixed = (np.nan,) * 5


def places_of(arrivals: ArrivalColumns) -> Places:
    """The place of each arrival's star, (n,): that written beside it, else that of its name.

    nan where star or site has no known place.
    """
    columns = {name: np.full(arrivals.setup.size, np.nan) for name in PLACE_COLUMNS}
    fixed, body = _things(arrivals)
    sites = [(row.lat_deg, row.lon_deg, row.elevation_m or 0.0) for row in arrivals.setups]
    site = np.array([sites.index(one) for one in sites], dtype=np.int64)[arrivals.setup]
    groups = np.unique(np.stack([site, body]), axis=1).T
    for place, which in groups.tolist():
        lat, lon, elevation = sites[place]
        if lat is None or lon is None:
            continue
        here = np.flatnonzero((site == place) & (body == which))
        when, seen_from = arrivals.at_utc[here], Place(lat, lon, elevation)
        if which == NO_BODY:
            here = here[np.isfinite(fixed[here, 0])]
            seen = (
                apparent_places(Directions(*fixed[here].T), arrivals.at_utc[here], seen_from)
                if here.size
                else None
            )
        else:
            seen = body_places(BODIES[which], when, seen_from)
        for name, column in columns.items() if seen else ():
            column[here] = getattr(seen, name)
    return Places(**columns)


NO_BODY = -1
BODIES = list(Body)


def _things(arrivals: ArrivalColumns) -> tuple[np.ndarray, np.ndarray]:
    """Catalogue places (n, 5) and bodies of the solar system (n,), NO_BODY where the arrival is of none."""
    written = np.isfinite(arrivals.ra_hours)
    things = {target: _thing(target) for target in set(arrivals.target)}
    found = [things[target] for target in arrivals.target]
    fixed = np.array([thing if isinstance(thing, tuple) else UNKNOWN for thing in found]).reshape(-1, 5)
    body = np.array([BODIES.index(thing) if isinstance(thing, Body) else NO_BODY for thing in found])
    fixed[written] = 0.0
    fixed[written, 0], fixed[written, 1] = arrivals.ra_hours[written], arrivals.dec_deg[written]
    return fixed, np.where(written, NO_BODY, body)


@lru_cache(maxsize=4096)  # the same few hundred names come again with every mount
def _thing(target: str) -> Body | Fixed | None:
    found = found_or_none(target)
    if found is None:
        return None
    thing = found.thing
    if isinstance(thing, Body):
        return thing
    if isinstance(thing, Star):
        motion = (thing.pm_ra_mas_per_year, thing.pm_dec_mas_per_year, thing.parallax_mas)
        return (thing.ra_hours, thing.dec_deg, *motion)
    return (thing.ra_hours, thing.dec_deg, 0.0, 0.0, 0.0)
