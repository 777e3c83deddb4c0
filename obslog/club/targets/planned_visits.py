"""The order of an evening's targets, with each target's place in the sky when its turn comes."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from obslog.club.sky.pair_seen import pair_seen
from obslog.club.targets.how_sure import VisualMargins
from obslog.club.targets.planned_gear import Evening
from obslog.club.targets.planned_targets import PlannedTarget
from obslog.club.targets.preference import (
    PlaceInPlan,
    kind_of,
)
from obslog.club.targets.sure_words import why
from obslog.club.targets.target_filters import surfaces
from obslog.pointing.model.geometry import side_is_seen
from obslog.pointing.planning.visit_order import visit_order
from obslog.sky.evening.moving_bodies import elongations_deg
from obslog.sky.evening.object_arrays import Catalogue
from obslog.sky.evening.sky_behind import SkyBehind
from obslog.sky.places.apparent_places import Places, apparent_places
from obslog.sky.places.instants import as_datetime
from obslog.sky.places.kernel import Instants
from obslog.vocabulary.mounts import MountType, PierSide

Floats = NDArray[np.float64]
_HOUR = np.timedelta64(1, "h")
_SOLAR_HOURS_PER_SIDEREAL = 0.9972696


class Scheduled(NamedTuple):
    """Targets in the order of their visits, how often the mount flips, and how many found no time."""

    targets: list[PlannedTarget]
    flips: int
    late: int


def scheduled(evening: Evening, chosen: Sequence[PlaceInPlan]) -> Scheduled:
    """The chosen targets in order, with their places in the sky at their times."""
    if not chosen:
        return Scheduled([], 0, 0)
    windows, place_on_earth, mount = evening.windows, evening.view.place, evening.gear.mount
    firsts = np.array([one.first for one in chosen], np.intp)
    some, start = evening.catalogue.only(firsts), evening.spell.from_utc
    seen = apparent_places(some.directions, start, place_on_earth)
    transit_hours = -seen.hour_angle_hours * _SOLAR_HOURS_PER_SIDEREAL
    opens, closes = ((when[firsts] - start) / _HOUR for when in (windows.from_utc, windows.until_utc))
    sided = mount is not None and mount.mount_type is MountType.GERMAN
    visits = visit_order(opens, closes, transit_hours, evening.wish.minutes_each, has_sides=sided)
    places = np.array(visits.targets, np.intp)
    minutes = np.round(np.array(visits.start_hours) * 60).astype("timedelta64[m]")
    when: Instants = start + minutes
    visited = some.only(places)
    seen_then = apparent_places(visited.directions, when, place_on_earth)
    behind, judged = evening.by.at(visited, when)
    then = _Then(
        chosen=[chosen[place] for place in visits.targets],
        ranks=[int(place) + 1 for place in visits.targets],
        sides=_sides(visits.tube_east, seen_then.hour_angle_hours) if sided else [None] * places.size,
        catalogue=visited,
        seen=seen_then,
        when_utc=when,
        transit_utc=start + np.round(transit_hours[places] * 3600).astype("timedelta64[s]"),
        surface_mag=surfaces(visited),
        sun_deg=elongations_deg(visited.names, when, place_on_earth),
        behind=behind,
        judged=judged,
    )
    targets = [_target(evening, then, n) for n in range(len(visits.targets))]
    return Scheduled(targets, visits.flips, len(visits.left))


class _Then(NamedTuple):
    """The targets in the order of their visits, with what holds at the time of each."""

    chosen: Sequence[PlaceInPlan]
    ranks: Sequence[int]
    sides: Sequence[PierSide | None]
    catalogue: Catalogue
    seen: Places
    when_utc: Instants
    transit_utc: Instants
    surface_mag: Floats
    sun_deg: Floats
    behind: SkyBehind
    judged: VisualMargins


def _target(evening: Evening, then: _Then, n: int) -> PlannedTarget:
    some, windows, gear, place = then.catalogue, evening.windows, evening.gear, then.chosen[n]
    first = place.first
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
        pier_side=then.sides[n],
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
        rank=then.ranks[n],
        kind=kind_of(some.types[n]),
        sure=then.judged.sure(n),
        why=why(some, then.judged, n),
        margin_mag=_known(then.judged.margin_mag[n]),
        moonlight_mag=float(then.behind.moonlight_mag[n]),
        beside=tuple(evening.catalogue.names[other] for other in place.beside),
    )


def _sides(tube_east: Sequence[bool], hour_angle_hours: Floats) -> list[PierSide | None]:
    """None where the tube is not seen on the side on which the mount has it."""
    seen = side_is_seen(hour_angle_hours * 15).tolist()
    return [
        (PierSide.EAST if east else PierSide.WEST) if is_seen else None
        for east, is_seen in zip(tube_east, seen, strict=True)
    ]


def _known(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
