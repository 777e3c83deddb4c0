"""Which targets an evening is good for, and in which order to go to them."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from obslog.club.register.observing_site import ObservingSite
from obslog.club.targets.how_sure import Sure, VisualMargins
from obslog.club.targets.means_to_see import USUAL_SKY_MAG
from obslog.club.targets.planned_gear import Evening, Judge, gear_for
from obslog.club.targets.planned_targets import MoonTonight, TargetPlan, UpTime, Wish
from obslog.club.targets.planned_visits import scheduled
from obslog.club.targets.preference import USUAL_FIELD_ARCMIN, PlaceInPlan, preferred, with_neighbours
from obslog.club.targets.target_filters import (
    LeftOut,
    Mask,
    Sieve,
    already_seen,
    naming_few,
    of_other_types,
    too_faint,
    too_low,
    unknown_names,
)
from obslog.english import counted
from obslog.fields import LOWEST_TO_LOOK_DEG, NumberField
from obslog.records.database import Database
from obslog.sky.evening.dark_windows import dark_spell, dark_windows
from obslog.sky.evening.moon_in_dark import moon_in_dark
from obslog.sky.evening.moving_bodies import wanderers
from obslog.sky.evening.object_arrays import DOUBLES, Catalogue, listed_objects, named_things, whole_catalogue
from obslog.sky.evening.visibility import Spell
from obslog.sky.names.object_types import ObjectType, types_named
from obslog.sky.places.instants import as_datetime, as_datetime64
from obslog.times import computed_local
from obslog.values import Place

MINUTES_EACH = NumberField("The time for each target", 1, 600, "minutes")


def plan_targets(database: Database, view: ObservingSite, at_utc: datetime, wish: Wish) -> TargetPlan:
    """Choose the targets that fit the wish and are surest to be seen, of each kind in turn, and put them in order.

    From an instant of the night on. Raises NotDark, UnknownName, OutOfRange.
    """
    _check(wish)
    spell, dark = dark_spell(as_datetime64(view.noon_before(at_utc)), view.place, as_datetime64(at_utc))
    catalogue, unknown = _catalogue(wish, spell, view.place)
    types = {kind for text in wish.types for kind in types_named(text)}
    with database.read() as session:
        gear = gear_for(session, view, wish)
        seen = already_seen(session, catalogue, wish.not_seen_by) if wish.not_seen_by else None
    evening = Evening(
        view=view,
        spell=spell,
        catalogue=catalogue,
        windows=dark_windows(catalogue.directions, spell, view.place, wish.above_deg, view.horizon),
        wish=wish,
        gear=gear,
        by=Judge(gear.sky.median if gear.sky else USUAL_SKY_MAG, view.place, gear.judged_in),
    )
    sieve = _sifted(evening, types, seen)
    visits = scheduled(evening, _chosen(evening, sieve))
    in_order = [target for target in visits.targets if target.sure is not Sure.NO]
    left_out = [
        LeftOut(f"no time left, at {wish.minutes_each:g} min each", visits.late),
        LeftOut("not to be seen when the turn comes", len(visits.targets) - len(in_order)),
    ]
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
        sky_mag=evening.by.sky_mag,
        moon=_moon(spell, view.place),
        judged_in=gear.judged_in,
        chance_in_field=gear.chance,
        targets=[replace(target, order=order) for order, target in enumerate(in_order, start=1)],
        flips=visits.flips,
        considered=len(catalogue) + len(unknown),
        left_out=[
            *([unknown_names(unknown)] if unknown else []),
            *sieve.left_out,
            *(left for left in left_out if left.count),
        ],
    )


def _sifted(evening: Evening, types: set[str], seen: tuple[str, Mask] | None) -> Sieve:
    """The catalogue without other types, what was seen, what is not up in the dark, and what is too faint."""
    catalogue, wish, gear = evening.catalogue, evening.wish, evening.gear
    sieve = Sieve(len(catalogue))
    sieve.leave_out(*of_other_types(catalogue, types, named=wish.is_of_a_list))
    if seen is not None:
        sieve.leave_out(*seen)
    _leave_out_what_is_not_up(evening, sieve)
    sieve.leave_out(*too_faint(catalogue, gear.limit, gear.aperture_mm))
    return sieve


def _leave_out_what_is_not_up(evening: Evening, sieve: Sieve) -> None:
    """Leave out what stays too low in the dark, and what rises high enough only when all would be done."""
    windows, wish, zone = evening.windows, evening.wish, evening.view.zone
    begin, end = (computed_local(as_datetime(t), zone) for t in evening.spell)
    sieve.leave_out(*too_low(windows, wish.above_deg, begin, end, has_horizon=bool(evening.view.horizon)))
    if evening.done_utc < evening.spell.until_utc:
        done = computed_local(as_datetime(evening.done_utc), zone)
        sieve.leave_out(
            f"up only after {done}, when {counted(wish.most, 'target')} would be done",
            windows.from_utc >= evening.done_utc,
        )


def _chosen(evening: Evening, sieve: Sieve) -> list[PlaceInPlan]:
    """The places of the plan in order of preference; what takes none of them is left out with its reason.

    A thing is judged where it stands best, or when all would be done, if that is earlier.
    """
    catalogue, wish, field = evening.catalogue, evening.wish, evening.gear.field_arcmin
    places = np.flatnonzero(sieve.still)
    best_utc = np.minimum(evening.windows.best_utc[places], evening.done_utc)
    behind, judged = evening.by.at(catalogue.only(places), best_utc)
    sure = judged.all_sure()
    _leave_out_unseen(evening, sieve, places, judged)
    order = preferred(catalogue, places, sure, behind.moonlight_mag, field)
    order = [place for place in order if sieve.still[place]]
    good = _those(catalogue, places, [word in (Sure.EASILY, Sure.WITH_CARE) for word in sure])
    chosen = list(islice(with_neighbours(catalogue, order, good, field or USUAL_FIELD_ARCMIN), wish.most))
    beside = np.zeros(len(catalogue), bool)
    beside[[place for one in chosen for place in one.beside]] = True
    sieve.leave_out("in the same field as another, and named with it", beside)
    sieve.keep_only(
        [one.first for one in chosen], f"beyond the {wish.most} asked for: the surest of each kind come first"
    )
    return chosen


def _leave_out_unseen(
    evening: Evening, sieve: Sieve, places: NDArray[np.intp], judged: VisualMargins
) -> None:
    """Leave out what the tube does not show against this sky, and in a free choice what cannot be judged."""
    catalogue, sure = evening.catalogue, judged.all_sure()
    lost = [word is Sure.NO for word in sure]
    drowned = _those(catalogue, places, [gone and judged.drowned(n) for n, gone in enumerate(lost)])
    faint = _those(catalogue, places, lost) & ~drowned
    tube = f"{evening.by.judged_in.aperture_mm:g} mm of aperture"
    moon = f"drowned by moonlight; without the Moon {tube} would be enough"
    sieve.leave_out(naming_few(moon, catalogue, drowned), drowned)
    sieve.leave_out(naming_few(f"too faint against the sky for {tube}", catalogue, faint), faint)
    if not evening.wish.is_of_a_list:
        unknown = _those(catalogue, places, [word is Sure.UNKNOWN for word in sure])
        dark = np.array([kind == ObjectType.DARK_NEBULA for kind in catalogue.types], bool)
        sieve.leave_out("of unknown magnitude or size, and planned only from a --list", unknown & ~dark)


def _those(catalogue: Catalogue, places: NDArray[np.intp], is_so: Sequence[bool]) -> Mask:
    """Of the whole catalogue those for which it is so, said of some places in order."""
    mask = np.zeros(len(catalogue), bool)
    mask[places] = is_so
    return mask


def _check(wish: Wish) -> None:
    LOWEST_TO_LOOK_DEG.check(wish.above_deg)
    MINUTES_EACH.check(wish.minutes_each)


def _catalogue(wish: Wish, spell: Spell, place: Place) -> tuple[Catalogue, list[str]]:
    """What is chosen from, the Moon and planets with it where they are wished for; and the names that nobody knows."""
    catalogue, unknown = _listed(wish)
    if wish.wanderers:
        middle_utc = spell.from_utc + (spell.until_utc - spell.from_utc) / 2
        catalogue = catalogue.with_others(wanderers(middle_utc, place))
    return catalogue, unknown


def _listed(wish: Wish) -> tuple[Catalogue, list[str]]:
    if wish.names is not None:
        return named_things(wish.names)
    if wish.listed:
        return listed_objects(wish.listed), []
    return whole_catalogue().with_others(listed_objects(DOUBLES)), []


def _moon(spell: Spell, place: Place) -> MoonTonight:
    moon = moon_in_dark(spell, place)
    up = tuple(UpTime(as_datetime(up.from_utc), as_datetime(up.until_utc)) for up in moon.up)
    return MoonTonight(str(moon.phase), moon.illuminated, up)
