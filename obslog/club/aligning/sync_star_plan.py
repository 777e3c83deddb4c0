"""Which stars to sync on tonight, and the pointing run that would tell most about a mount."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from obslog.club.aligning.known_before import what_is_known
from obslog.club.aligning.star_candidates import StarsNow, places_of_targets, stars_now
from obslog.club.performance.mount_fits import MountFits, fits_from
from obslog.club.register.observing_site import ObservingSite
from obslog.fields import FIELD_ARCMIN, NumberField
from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.model.frames import az_alt_deg
from obslog.pointing.model.geometry import StarPlaces, side_is_seen
from obslog.pointing.planning.expected_landing import ExpectedLanding, Knowledge
from obslog.pointing.planning.observable import ObservableLimits, even_sky
from obslog.pointing.planning.run_plan import plan_run
from obslog.pointing.planning.star_choice import choose_sync_stars
from obslog.records.database import Database
from obslog.sky.evening.sun_caution import caution_for
from obslog.sky.places.apparent_places import directions_of
from obslog.vocabulary.mounts import MountType, PierSide

SYNCS = NumberField("The number of syncs", 1, 9, whole=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class StarStep:
    """A star in the order in which to go to it.

    The side of the pier is None where the mount has none, or the star is more than 6 h from the meridian.
    """

    order: int
    name: str
    magnitude: float
    alt_deg: float
    az_deg: float
    pier_side: PierSide | None


@dataclass(frozen=True, slots=True)
class Expected:
    """Radii inside which half and 95 % of go-tos are expected to land, and the chance of landing in the field."""

    half: float
    ninety_five_percent: float
    chance_in_field: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StarPlan:
    """The sync stars in order, what to expect after the last, and after each."""

    mount: str
    tube: str | None
    stars: list[StarStep]
    expected_landing_arcmin: Expected
    after_each: list[Expected]
    flips: int
    basis: list[str]
    caution: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPage:
    """A pointing run: one sync, then checks; and how well it would tell the mount's errors."""

    mount: str
    stars: list[StarStep]
    minutes: float
    sd_arcmin: dict[str, float]
    determines: list[str]
    caution: str | None


def plan_stars(
    records: Database | MountFits,
    mount: str,
    tube: str | None,
    view: ObservingSite,
    at_utc: datetime,
    syncs: int,
    limits: ObservableLimits,
    *,
    targets: list[str] | None = None,
    field_arcmin: float | None = None,
    now: StarsNow | None = None,
) -> StarPlan:
    """The stars that leave the smallest landing error, given what the records say of the mount.

    Whoever plans for several mounts hands in their fits and the stars of that instant, made once.

    Raises UnknownName, MountTypeUnknown, TooFewStars, UnknownInSky, OutOfRange.
    """
    SYNCS.check(syncs)
    FIELD_ARCMIN.check(field_arcmin)
    known = what_is_known(records, mount, tube)
    return star_plan_from(
        known, view, at_utc, syncs, limits, targets=targets, field_arcmin=field_arcmin, now=now
    )


def star_plan_from(
    known: tuple[Knowledge, list[str], tuple[str, str | None]],
    view: ObservingSite,
    at_utc: datetime,
    syncs: int,
    limits: ObservableLimits,
    *,
    targets: list[str] | None = None,
    field_arcmin: float | None = None,
    now: StarsNow | None = None,
) -> StarPlan:
    """The same from what is known of the mount, in words too, and the names of mount and tube. Raises TooFewStars."""
    knowledge, basis, named = known
    now = now or stars_now(view, at_utc)
    wanted = (
        places_of_targets(view, targets, at_utc)
        if targets
        else even_sky(view.place.lat_deg, limits.lowest_alt_deg)
    )
    plan = choose_sync_stars(now.candidates, limits, wanted, knowledge, syncs, field_arcmin)
    landings = [_expected(landing) for landing in plan.landings]
    return StarPlan(
        mount=named[0],
        tube=named[1],
        stars=steps_to(now, plan.stars, knowledge.machine),
        expected_landing_arcmin=landings[-1],
        after_each=landings,
        flips=plan.flips,
        basis=[*basis, plan.assumption, *_hidden(wanted, targets)],
        caution=_caution(now, plan.stars, view, at_utc),
    )


def plan_pointing_run(
    database: Database, mount: str, view: ObservingSite, at_utc: datetime, limits: ObservableLimits
) -> RunPage:
    """One sync and 8 to 12 checks: the acceptance test of a mount.

    Raises UnknownName, MountTypeUnknown, TooFewStars.
    """
    with fits_from(database) as fits:
        name, machine = fits.machine_of(mount)
    now = stars_now(view, at_utc)
    plan = plan_run(now.candidates, limits, machine)
    terms = {"cone": plan.cone, "squareness": plan.squareness, "sag": plan.sag}
    return RunPage(
        mount=name,
        stars=steps_to(now, plan.stars, machine),
        minutes=plan.minutes,
        sd_arcmin={term: estimate.sd for term, estimate in terms.items()},
        determines=[term for term, estimate in terms.items() if estimate.determined],
        caution=_caution(now, plan.stars, view, at_utc),
    )


def steps_to(now: StarsNow, stars: Sequence[int], machine: Machine) -> list[StarStep]:
    """Stars in that order, as they stand at the instant; the tube on the usual side."""
    west = now.candidates.stars.tube_west
    told = side_is_seen(now.candidates.stars.hour_angle_deg) & (machine.mount_type is MountType.GERMAN)
    return [
        StarStep(
            order=order,
            name=now.stars[star].name,
            magnitude=now.stars[star].magnitude,
            alt_deg=float(now.seen.alt_deg[star]),
            az_deg=float(now.seen.az_deg[star]),
            pier_side=(PierSide.WEST if west[star] else PierSide.EAST) if told[star] else None,
        )
        for order, star in enumerate(stars, start=1)
    ]


def _expected(landing: ExpectedLanding) -> Expected:
    chance = None if np.isnan(landing.chance_in_field) else landing.chance_in_field
    return Expected(landing.half_arcmin, landing.ninety_five_percent_arcmin, chance)


def _hidden(wanted: StarPlaces, targets: list[str] | None) -> list[str]:
    """Targets that are below the horizon at the time planned for, in words."""
    _, alt_deg = az_alt_deg(wanted.airless())
    below = [name for name, alt in zip(targets or [], alt_deg, strict=False) if alt < 0]
    return [f"below the horizon then: {', '.join(below)}"] if below else []


def _caution(now: StarsNow, stars: tuple[int, ...], view: ObservingSite, at_utc: datetime) -> str | None:
    """The solar caution where these stars would be looked for while the Sun is up."""
    return caution_for([directions_of([now.stars[star] for star in stars])], at_utc, view.place)
