"""Which targets an evening is good for, and in which order to go to them."""

from dataclasses import replace
from datetime import datetime
from itertools import islice

import numpy as np

from obslog.club.register.observing_site import ObservingSite
from obslog.club.targets.how_sure import Sure
from obslog.club.targets.means_to_see import USUAL_SKY_MAG
from obslog.club.targets.planned_gear import Gear, Judge, gear_for
from obslog.club.targets.planned_targets import MoonTonight, TargetPlan, UpTime, Wish
from obslog.club.targets.planned_visits import scheduled
from obslog.club.targets.preference import (
    USUAL_FIELD_ARCMIN,
    PlaceInPlan,
    preferred,
    with_neighbours,
)
from obslog.club.targets.target_filters import (
    LeftOut,
    Sieve,
    already_seen,
    naming_few,
    of_other_types,
    too_faint,
    too_low,
    unknown_names,
)
from obslog.fields import LOWEST_TO_LOOK_DEG, NumberField
from obslog.records.opening import Database
from obslog.sky.evening.dark_windows import Windows, dark_spell, dark_windows
from obslog.sky.evening.moon_in_dark import moon_in_dark
from obslog.sky.evening.moving_bodies import wanderers
from obslog.sky.evening.object_arrays import (
    DOUBLES,
    Catalogue,
    listed_objects,
    named_things,
    whole_catalogue,
)
from obslog.sky.evening.visibility import Spell
from obslog.sky.names.object_types import ObjectType, types_named
from obslog.sky.places.instants import as_datetime, as_datetime64
from obslog.times import computed_local
from obslog.values import Place
from obslog.vocabulary import counted

MINUTES_EACH = NumberField("The time for each target", 1, 600, "minutes")


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
        gear = gear_for(session, view, wish)
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
    by = Judge(gear.sky.median if gear.sky else USUAL_SKY_MAG, view.place, gear.judged_in)
    chosen = _chosen(catalogue, windows, sieve, done_utc, by, gear, wish)
    targets, flips, late = scheduled(view, catalogue, windows, chosen, spell, by, gear, wish)
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
    by: Judge,
    gear: Gear,
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


def _moon(spell: Spell, place: Place) -> MoonTonight:
    moon = moon_in_dark(spell, place)
    up = tuple(UpTime(as_datetime(up.from_utc), as_datetime(up.until_utc)) for up in moon.up)
    return MoonTonight(str(moon.phase), moon.illuminated, up)
