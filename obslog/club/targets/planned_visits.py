"""The order of an evening's targets, with each target's place in the sky when its turn comes."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.pair_seen import pair_seen
from obslog.club.targets.how_sure import Judged
from obslog.club.targets.planned_gear import Gear, Judge
from obslog.club.targets.planned_targets import PlannedTarget, Wish
from obslog.club.targets.preference import (
    PlaceInPlan,
    kind_of,
)
from obslog.club.targets.sure_words import why
from obslog.club.targets.target_filters import surfaces
from obslog.pointing.planning.visit_order import visit_order
from obslog.sky.evening.dark_windows import Windows
from obslog.sky.evening.moving_bodies import elongations_deg
from obslog.sky.evening.object_arrays import Catalogue
from obslog.sky.evening.sky_behind import SkyBehind
from obslog.sky.evening.visibility import Spell
from obslog.sky.places.apparent_places import Places, apparent_places
from obslog.sky.places.instants import as_datetime
from obslog.sky.places.kernel import Instants
from obslog.vocabulary import MountType, PierSide

Floats = NDArray[np.float64]
_HOUR = np.timedelta64(1, "h")
_SOLAR_HOURS_PER_SIDEREAL = 0.9972696


def scheduled(
    view: ObservingSite,
    catalogue: Catalogue,
    windows: Windows,
    chosen: Sequence[PlaceInPlan],
    spell: Spell,
    by: Judge,
    gear: Gear,
    wish: Wish,
) -> tuple[list[PlannedTarget], int, int]:
    """The chosen targets in order with their places at their times; the flips; and how many found no time."""
    if not chosen:
        return [], 0, 0
    firsts = np.array([one.first for one in chosen], np.intp)
    some, start = catalogue.only(firsts), spell.from_utc
    seen = apparent_places(some.directions, start, view.place)
    transit_hours = -seen.hour_angle_hours * _SOLAR_HOURS_PER_SIDEREAL
    opens, closes = ((when[firsts] - start) / _HOUR for when in (windows.from_utc, windows.until_utc))
    sided = gear.mount is not None and gear.mount.mount_type is MountType.GERMAN
    visits = visit_order(opens, closes, transit_hours, wish.minutes_each, has_sides=sided)
    places = np.array(visits.targets, np.intp)
    minutes = np.round(np.array(visits.start_hours) * 60).astype("timedelta64[m]")
    when: Instants = start + minutes
    visited = some.only(places)
    behind, judged = by.at(visited, when)
    then = _Then(
        catalogue=visited,
        windows=windows,
        seen=apparent_places(visited.directions, when, view.place),
        when_utc=when,
        transit_utc=start + np.round(transit_hours[places] * 3600).astype("timedelta64[s]"),
        surface_mag=surfaces(visited),
        sun_deg=elongations_deg(visited.names, when, view.place),
        behind=behind,
        judged=judged,
    )
    return (
        [
            _target(then, n, int(place) + 1, chosen[place], catalogue, gear, _side(east) if sided else None)
            for n, (place, east) in enumerate(zip(visits.targets, visits.tube_east, strict=True))
        ],
        visits.flips,
        len(visits.left),
    )


class _Then(NamedTuple):
    """The targets in the order of their visits, with what holds at the time of each."""

    catalogue: Catalogue
    windows: Windows
    seen: Places
    when_utc: Instants
    transit_utc: Instants
    surface_mag: Floats
    sun_deg: Floats
    behind: SkyBehind
    judged: Judged


def _target(
    then: _Then,
    n: int,
    rank: int,
    place: PlaceInPlan,
    catalogue: Catalogue,
    gear: Gear,
    side: PierSide | None,
) -> PlannedTarget:
    some, windows, first = then.catalogue, then.windows, place.first
    major, minor = _known(some.major_arcmin[n]), _known(some.minor_arcmin[n])
    glow = _known(then.surface_mag[n])
    return PlannedTarget(
        order=n + 1,
        name=some.names[n],
        title=some.titles[n],
        type=some.types[n],
        constellation=some.constellations[n],
        magnitude=_known(some.magnitude[n]),
        band=some.bands[n],
        at_utc=as_datetime(then.when_utc[n]),
        alt_deg=float(then.seen.alt_deg[n]),
        az_deg=float(then.seen.az_deg[n]),
        pier_side=side,
        transit_utc=as_datetime(then.transit_utc[n]),
        from_utc=as_datetime(windows.from_utc[first]),
        until_utc=as_datetime(windows.until_utc[first]),
        best_utc=as_datetime(windows.best_utc[first]),
        best_alt_deg=float(windows.best_alt_deg[first]),
        moon_deg=float(windows.moon_deg[first]),
        moon_up=bool(windows.moon_alt_deg[first] > 0),
        size_arcmin=(major, minor),
        fills_field=major / gear.field_arcmin if major and gear.field_arcmin else None,
        surface_brightness=glow,
        contrast_mag=float(then.behind.lit_mag[n]) - glow if gear.sky and glow is not None else None,
        sun_deg=_known(then.sun_deg[n]),
        pair=pair_seen(some.names[n], gear.aperture_mm),
        rank=rank,
        kind=kind_of(some.types[n]),
        sure=then.judged.sure(n),
        why=why(some, then.judged, n),
        margin_mag=_known(then.judged.margin_mag[n]),
        moonlight_mag=float(then.behind.moonlight_mag[n]),
        beside=tuple(catalogue.names[other] for other in place.beside),
    )


def _side(tube_east: bool) -> PierSide:
    return PierSide.EAST if tube_east else PierSide.WEST


def _known(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
