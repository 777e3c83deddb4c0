"""Which targets an evening is good for, and in which order to go to them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import NamedTuple

import numpy as np
from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.performance.landing_chance import LandingChance, landing_chance
from obslog.club.register.observing_site import ObservingSite
from obslog.club.register.true_field import true_field_arcmin
from obslog.club.targets.pair_seen import PairSeen, pair_seen
from obslog.club.targets.target_filters import (
    LeftOut,
    Sieve,
    already_seen,
    brightest_first,
    drowned,
    of_other_types,
    surfaces,
    too_faint,
    too_low,
    unknown_names,
)
from obslog.fields import LOWEST_TO_LOOK_DEG, NumberField
from obslog.optics import LimitFormula, limiting_magnitude
from obslog.pointing.planning.visit_order import visit_order
from obslog.records.name_lookup import by_name
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Eyepiece, Mount, Night, Site, SkyReading, Tube
from obslog.sky.evening.dark_windows import Dark, Windows, dark_spell, dark_windows
from obslog.sky.evening.moving_bodies import elongations_deg, wanderers
from obslog.sky.evening.object_arrays import (
    DOUBLES,
    Catalogue,
    listed_objects,
    named_things,
    whole_catalogue,
)
from obslog.sky.evening.visibility import Spell
from obslog.sky.names.object_types import ObjectType, types_named
from obslog.sky.places.apparent_places import Places, apparent_places
from obslog.sky.places.instants import as_datetime, as_datetime64
from obslog.sky.places.kernel import Instants
from obslog.times import computed_local
from obslog.vocabulary import MountType, PierSide, SkyScale, counted

MINUTES_EACH = NumberField("The time for each target", 1, 600, "minutes")
_HOUR = np.timedelta64(1, "h")
_SOLAR_HOURS_PER_SIDEREAL = 0.9972696


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What is asked for: the equipment, a list or names (None: all objects), what to leave out, and how many.

    `wanderers`: whether Moon and planets are among them.
    """

    mount: str | None = None
    tube: str | None = None
    eyepiece: str | None = None
    listed: str | None = None
    names: Sequence[str] | None = None
    types: Sequence[str] = ()
    not_seen_by: str | None = None
    above_deg: float = 30.0
    most: int = 20
    minutes_each: float = 10.0
    wanderers: bool = False


@dataclass(frozen=True, slots=True)
class SkyOnRecord:
    """What the sky meter showed at a site over its nights: median, spread (None from one reading) and number."""

    median: float
    sd: float | None
    readings: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedTarget:
    """A target with the time for it. Altitude, azimuth and side are of that time; instants in UTC; None is unknown.

    `fills_field` is its long axis over the field's diameter; `contrast_mag` its mean surface against the sky's,
    above zero where it is the brighter. `sun_deg` is the elongation of what wanders, None for other things.
    `pair` tells of a double star.
    """

    order: int
    name: str
    title: str
    type: str
    constellation: str
    magnitude: float | None
    band: str | None
    at_utc: datetime
    alt_deg: float
    az_deg: float
    pier_side: PierSide | None
    transit_utc: datetime
    from_utc: datetime
    until_utc: datetime
    best_utc: datetime
    best_alt_deg: float
    moon_deg: float
    moon_up: bool
    size_arcmin: tuple[float | None, float | None]
    fills_field: float | None
    surface_brightness: float | None
    contrast_mag: float | None
    sun_deg: float | None
    pair: PairSeen | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TargetPlan:
    """The targets in order, and what the plan rests on."""

    site: str
    night: date
    dark_from_utc: datetime
    dark_until_utc: datetime
    dark: Dark
    mount: str | None
    field_arcmin: float | None
    faintest_star_mag: float | None
    sky_meter: SkyOnRecord | None
    chance_in_field: LandingChance | None
    targets: list[PlannedTarget]
    flips: int
    considered: int
    left_out: list[LeftOut]


class _Gear(NamedTuple):
    """What the records say of the equipment, the site's sky and the member."""

    mount: Mount | None
    field_arcmin: float | None
    aperture_mm: float | None
    limit: float | None
    sky: SkyOnRecord | None
    chance: LandingChance | None


def plan_targets(database: Database, view: ObservingSite, at_utc: datetime, wish: Wish) -> TargetPlan:
    """Choose the brightest targets that fit the wish and put them in order, from an instant of the night on.

    Raises NotDark, UnknownName, OutOfRange.
    """
    _check(wish)
    spell, dark = dark_spell(as_datetime64(view.noon_before(at_utc)), view.place, as_datetime64(at_utc))
    catalogue, unknown = _catalogue(wish)
    if wish.wanderers:
        catalogue = catalogue.with_others(
            wanderers(spell.from_utc + (spell.until_utc - spell.from_utc) / 2, view.place)
        )
    windows = dark_windows(catalogue.directions, spell, view.place, wish.above_deg, view.horizon)
    sieve = Sieve(len(catalogue))
    types = {kind for text in wish.types for kind in types_named(text)}
    named = wish.listed is not None or wish.names is not None
    with database.read() as session:
        gear = _gear(session, view.site, wish)
        sieve.leave_out(*of_other_types(catalogue, types, named=named))
        if wish.not_seen_by:
            sieve.leave_out(*already_seen(session, catalogue, wish.not_seen_by))
    begin, end = (computed_local(as_datetime(t), view.zone) for t in spell)
    sieve.leave_out(*too_low(windows, wish.above_deg, begin, end, has_horizon=bool(view.horizon)))
    done_utc = spell.from_utc + wish.most * np.timedelta64(round(wish.minutes_each * 60), "s")
    if done_utc < spell.until_utc:
        done = computed_local(as_datetime(done_utc), view.zone)
        sieve.leave_out(
            f"up only after {done}, when {counted(wish.most, 'target')} would be done",
            windows.from_utc >= done_utc,
        )
    sieve.leave_out(*too_faint(catalogue, gear.limit, gear.aperture_mm))
    sieve.leave_out(*drowned(surfaces(catalogue), gear.sky.median if gear.sky else None))
    sieve.keep_first(
        brightest_first(catalogue), wish.most, f"beyond the {wish.most} asked for: brighter ones come first"
    )
    targets, flips, late = _scheduled(
        view, catalogue, windows, np.flatnonzero(sieve.still), spell, gear, wish
    )
    left_out = [unknown_names(unknown)] if unknown else []
    left_out += sieve.left_out
    if late:
        left_out.append(LeftOut(f"no time left for them, at {wish.minutes_each:g} min each", late))
    return TargetPlan(
        site=view.site,
        night=view.night_at(at_utc),
        dark_from_utc=as_datetime(spell.from_utc),
        dark_until_utc=as_datetime(spell.until_utc),
        dark=dark,
        mount=gear.mount.name if gear.mount else None,
        field_arcmin=gear.field_arcmin,
        faintest_star_mag=gear.limit,
        sky_meter=gear.sky,
        chance_in_field=gear.chance,
        targets=targets,
        flips=flips,
        considered=len(catalogue) + len(unknown),
        left_out=left_out,
    )


def _check(wish: Wish) -> None:
    LOWEST_TO_LOOK_DEG.check(wish.above_deg)
    MINUTES_EACH.check(wish.minutes_each)


def _catalogue(wish: Wish) -> tuple[Catalogue, list[str]]:
    if wish.names is not None:
        return named_things(wish.names)
    if wish.listed:
        return listed_objects(wish.listed), []
    if any(ObjectType.DOUBLE_STAR in types_named(text) for text in wish.types):
        return whole_catalogue().with_others(listed_objects(DOUBLES)), []
    return whole_catalogue(), []


def _gear(session: Session, site: str, wish: Wish) -> _Gear:
    mount = by_name(session, Mount, wish.mount) if wish.mount else None
    tube = by_name(session, Tube, wish.tube) if wish.tube else None
    eyepiece = by_name(session, Eyepiece, wish.eyepiece) if wish.eyepiece else None
    field = true_field_arcmin(tube, eyepiece) if tube and eyepiece else None
    aperture = tube.aperture_mm if tube else None
    limit = None if aperture is None else float(limiting_magnitude(aperture, LimitFormula.MILLIMETRES))
    chance = landing_chance(session, mount, field) if mount and field else None
    return _Gear(mount, field, aperture, limit, _sky_on_record(session, site), chance)


def _sky_on_record(session: Session, site: str) -> SkyOnRecord | None:
    query = (
        select(SkyReading.value)
        .join(Night, SkyReading.night_id == Night.id)
        .where(Night.site_id == by_name(session, Site, site).id, SkyReading.scale == SkyScale.SKY_METER)
    )
    values = np.array(session.scalars(query).all(), float)
    if not values.size:
        return None
    sd = float(values.std(ddof=1)) if values.size > 1 else None
    return SkyOnRecord(float(np.median(values)), sd, values.size)


def _scheduled(
    view: ObservingSite,
    catalogue: Catalogue,
    windows: Windows,
    chosen: np.ndarray[tuple[int], np.dtype[np.intp]],
    spell: Spell,
    gear: _Gear,
    wish: Wish,
) -> tuple[list[PlannedTarget], int, int]:
    """The chosen targets in order with their places at their times; the flips; and how many found no time."""
    if not chosen.size:
        return [], 0, 0
    some, start = catalogue.only(chosen), spell.from_utc
    seen = apparent_places(some.directions, start, view.place)
    transit_hours = -seen.hour_angle_hours * _SOLAR_HOURS_PER_SIDEREAL
    opens, closes = ((when[chosen] - start) / _HOUR for when in (windows.from_utc, windows.until_utc))
    sided = gear.mount is not None and gear.mount.mount_type is MountType.GERMAN
    visits = visit_order(opens, closes, transit_hours, wish.minutes_each, has_sides=sided)
    places = np.array(visits.targets, np.intp)
    minutes = np.round(np.array(visits.start_hours) * 60).astype("timedelta64[m]")
    when: Instants = start + minutes
    then = apparent_places(some.only(places).directions, when, view.place)
    from_sun = elongations_deg(some.only(places).names, when, view.place)
    transits = start + np.round(transit_hours * 3600).astype("timedelta64[s]")
    surface = surfaces(catalogue)
    return (
        [
            _target(
                order,
                catalogue,
                int(chosen[place]),
                windows,
                then,
                when,
                transits[place],
                surface,
                float(from_sun[order - 1]),
                gear,
                _side(east) if sided else None,
            )
            for order, (place, east) in enumerate(zip(visits.targets, visits.tube_east, strict=True), start=1)
        ],
        visits.flips,
        len(visits.left),
    )


def _target(
    order: int,
    catalogue: Catalogue,
    place: int,
    windows: Windows,
    then: Places,
    when: Instants,
    transit: np.datetime64,
    surface: np.ndarray[tuple[int], np.dtype[np.float64]],
    sun_deg: float,
    gear: _Gear,
    side: PierSide | None,
) -> PlannedTarget:
    major, minor = _known(catalogue.major_arcmin[place]), _known(catalogue.minor_arcmin[place])
    glow = _known(surface[place])
    return PlannedTarget(
        order=order,
        name=catalogue.names[place],
        title=catalogue.titles[place],
        type=catalogue.types[place],
        constellation=catalogue.constellations[place],
        magnitude=_known(catalogue.magnitude[place]),
        band=catalogue.bands[place],
        at_utc=as_datetime(when[order - 1]),
        alt_deg=float(then.alt_deg[order - 1]),
        az_deg=float(then.az_deg[order - 1]),
        pier_side=side,
        transit_utc=as_datetime(transit),
        from_utc=as_datetime(windows.from_utc[place]),
        until_utc=as_datetime(windows.until_utc[place]),
        best_utc=as_datetime(windows.best_utc[place]),
        best_alt_deg=float(windows.best_alt_deg[place]),
        moon_deg=float(windows.moon_deg[place]),
        moon_up=bool(windows.moon_alt_deg[place] > 0),
        size_arcmin=(major, minor),
        fills_field=major / gear.field_arcmin if major and gear.field_arcmin else None,
        surface_brightness=glow,
        contrast_mag=gear.sky.median - glow if gear.sky and glow is not None else None,
        sun_deg=_known(sun_deg),
        pair=pair_seen(catalogue.names[place], gear.aperture_mm),
    )


def _side(tube_east: bool) -> PierSide:
    return PierSide.EAST if tube_east else PierSide.WEST


def _known(value: float) -> float | None:
    return None if np.isnan(value) else float(value)
