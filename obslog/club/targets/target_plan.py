"""Which targets an evening is good for, and in which order to go to them."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from itertools import islice
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from sqlalchemy.orm import Session

from obslog.club.performance.landing_chance import LandingChance, landing_chance
from obslog.club.register.observing_site import ObservingSite
from obslog.club.register.true_field import true_field_arcmin
from obslog.club.sky.pair_seen import pair_seen
from obslog.club.targets.how_sure import Judged, Sure, judge
from obslog.club.targets.means_to_see import USUAL_SKY_MAG, JudgedIn, SkyOnRecord, judged_in, sky_on_record
from obslog.club.targets.planned_targets import MoonTonight, PlannedTarget, TargetPlan, UpTime, Wish
from obslog.club.targets.preference import (
    USUAL_FIELD_ARCMIN,
    PlaceInPlan,
    kind_of,
    preferred,
    with_neighbours,
)
from obslog.club.targets.sure_words import why
from obslog.club.targets.target_filters import (
    LeftOut,
    Sieve,
    already_seen,
    naming_few,
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
from obslog.records.tables.logbook_tables import Eyepiece, Mount, Tube
from obslog.sky.evening.dark_windows import Windows, dark_spell, dark_windows
from obslog.sky.evening.moon_in_dark import moon_in_dark
from obslog.sky.evening.moving_bodies import elongations_deg, wanderers
from obslog.sky.evening.object_arrays import (
    DOUBLES,
    Catalogue,
    listed_objects,
    named_things,
    whole_catalogue,
)
from obslog.sky.evening.sky_behind import SkyBehind, sky_behind
from obslog.sky.evening.visibility import Spell
from obslog.sky.names.object_types import ObjectType, types_named
from obslog.sky.places.apparent_places import Places, apparent_places
from obslog.sky.places.instants import as_datetime, as_datetime64
from obslog.sky.places.kernel import Instants
from obslog.times import computed_local
from obslog.values import Place
from obslog.vocabulary import MountType, PierSide, counted

Floats = NDArray[np.float64]
MINUTES_EACH = NumberField("The time for each target", 1, 600, "minutes")
_HOUR = np.timedelta64(1, "h")
_SOLAR_HOURS_PER_SIDEREAL = 0.9972696


class _Gear(NamedTuple):
    """What the records say of the equipment, the site's sky and the member."""

    mount: Mount | None
    field_arcmin: float | None
    aperture_mm: float | None
    limit: float | None
    sky: SkyOnRecord | None
    chance: LandingChance | None
    judged_in: JudgedIn


class _Judge(NamedTuple):
    """What things are judged by: the sky overhead without the Moon, where it is, and the tube."""

    sky_mag: float
    place: Place
    judged_in: JudgedIn

    def at(self, catalogue: Catalogue, when_utc: Instants) -> tuple[SkyBehind, Judged]:
        """The sky behind each thing at its own instant, and how far each is above the threshold there."""
        behind = sky_behind(catalogue.directions, when_utc, self.place, self.sky_mag)
        return behind, judge(catalogue, behind, self.judged_in.views(), self.judged_in.aperture_mm)


def plan_targets(database: Database, view: ObservingSite, at_utc: datetime, wish: Wish) -> TargetPlan:
    """Choose the targets that fit the wish and are surest to be seen, of each kind in turn, and put them in order.

    From an instant of the night on. Raises NotDark, UnknownName, OutOfRange.
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
        gear = _gear(session, view, wish)
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
    by = _Judge(gear.sky.median if gear.sky else USUAL_SKY_MAG, view.place, gear.judged_in)
    chosen = _chosen(catalogue, windows, sieve, done_utc, by, gear, wish)
    targets, flips, late = _scheduled(view, catalogue, windows, chosen, spell, by, gear, wish)
    left_out = [unknown_names(unknown)] if unknown else []
    left_out += sieve.left_out
    if late:
        left_out.append(LeftOut(f"no time left, at {wish.minutes_each:g} min each", late))
    seen = [target for target in targets if target.sure is not Sure.NO]
    if len(seen) < len(targets):
        left_out.append(LeftOut("not to be seen when the turn comes", len(targets) - len(seen)))
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
        sky_mag=by.sky_mag,
        moon=_moon(spell, view.place),
        judged_in=gear.judged_in,
        chance_in_field=gear.chance,
        targets=[replace(target, order=order) for order, target in enumerate(seen, start=1)],
        flips=flips,
        considered=len(catalogue) + len(unknown),
        left_out=left_out,
    )


def _chosen(
    catalogue: Catalogue,
    windows: Windows,
    sieve: Sieve,
    done_utc: np.datetime64,
    by: _Judge,
    gear: _Gear,
    wish: Wish,
) -> list[PlaceInPlan]:
    """The places of the plan in order of preference; what takes none of them is left out with its reason.

    A thing is judged where it stands best, or when all would be done, if that is earlier.
    """
    places = np.flatnonzero(sieve.still)
    behind, judged = by.at(catalogue.only(places), np.minimum(windows.best_utc[places], done_utc))
    sure = judged.all_sure()
    lost, drowned, good = (np.zeros(len(catalogue), bool) for _ in range(3))
    for n, (place, word) in enumerate(zip(places, sure, strict=True)):
        lost[place] = word is Sure.NO
        drowned[place] = lost[place] and judged.drowned(n)
        good[place] = word in (Sure.EASILY, Sure.WITH_CARE)
    tube = f"{by.judged_in.aperture_mm:g} mm of aperture"
    moon = f"drowned by moonlight; without the Moon {tube} would be enough"
    faint = lost & ~drowned
    sieve.leave_out(naming_few(moon, catalogue, drowned), drowned)
    sieve.leave_out(naming_few(f"too faint against the sky for {tube}", catalogue, faint), faint)
    if wish.listed is None and wish.names is None:
        unknown = np.zeros(len(catalogue), bool)
        unknown[[place for place, word in zip(places, sure, strict=True) if word is Sure.UNKNOWN]] = True
        dark = np.array([kind == ObjectType.DARK_NEBULA for kind in catalogue.types], bool)
        sieve.leave_out("of unknown magnitude or size, and planned only from a --list", unknown & ~dark)
    order = preferred(catalogue, places, sure, behind.moonlight_mag, gear.field_arcmin)
    order = [place for place in order if sieve.still[place]]
    field = gear.field_arcmin or USUAL_FIELD_ARCMIN
    chosen = list(islice(with_neighbours(catalogue, order, good, field), wish.most))
    beside = np.zeros(len(catalogue), bool)
    beside[[place for one in chosen for place in one.beside]] = True
    sieve.leave_out("in the same field as another, and named with it", beside)
    sieve.keep_only(
        [one.first for one in chosen], f"beyond the {wish.most} asked for: the surest of each kind come first"
    )
    return chosen


def _check(wish: Wish) -> None:
    LOWEST_TO_LOOK_DEG.check(wish.above_deg)
    MINUTES_EACH.check(wish.minutes_each)


def _catalogue(wish: Wish) -> tuple[Catalogue, list[str]]:
    if wish.names is not None:
        return named_things(wish.names)
    if wish.listed:
        return listed_objects(wish.listed), []
    return whole_catalogue().with_others(listed_objects(DOUBLES)), []


def _gear(session: Session, view: ObservingSite, wish: Wish) -> _Gear:
    mount = by_name(session, Mount, wish.mount) if wish.mount else None
    tube = by_name(session, Tube, wish.tube) if wish.tube else None
    eyepiece = by_name(session, Eyepiece, wish.eyepiece) if wish.eyepiece else None
    field = true_field_arcmin(tube, eyepiece) if tube and eyepiece else None
    aperture = tube.aperture_mm if tube else None
    limit = None if aperture is None else float(limiting_magnitude(aperture, LimitFormula.MILLIMETRES))
    chance = landing_chance(session, mount, field) if mount and field else None
    sky = sky_on_record(session, view.site, view.place)
    return _Gear(mount, field, aperture, limit, sky, chance, judged_in(session, tube, eyepiece))


def _moon(spell: Spell, place: Place) -> MoonTonight:
    moon = moon_in_dark(spell, place)
    up = tuple(UpTime(as_datetime(up.from_utc), as_datetime(up.until_utc)) for up in moon.up)
    return MoonTonight(str(moon.phase), moon.illuminated, up)


def _scheduled(
    view: ObservingSite,
    catalogue: Catalogue,
    windows: Windows,
    chosen: Sequence[PlaceInPlan],
    spell: Spell,
    by: _Judge,
    gear: _Gear,
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
    gear: _Gear,
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
