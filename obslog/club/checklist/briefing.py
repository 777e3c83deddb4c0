"""The briefing: an evening on one screen, in the order in which it goes, for one mount or for several."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import NamedTuple
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.aligning.star_candidates import StarsNow, stars_now, usual_limits
from obslog.club.aligning.sync_star_plan import Expected, StarPlan, StarStep, plan_stars
from obslog.club.checklist.equipment_notices import KitNotices, Notice
from obslog.club.checklist.look_first import LookFirst, Subject, look_first
from obslog.club.checklist.past_nights import PastNights, read_past_nights
from obslog.club.checklist.step_values import scale_value
from obslog.club.landing.night_forecast import NightForecast, night_forecast
from obslog.club.night.snags import SnagLine, open_snags_of
from obslog.club.performance.placed_arrivals import MountTypeUnknown, NoController, most_used_tube
from obslog.club.register.observing_site import ObservingSite
from obslog.club.routine.club_steps import steps_in_force
from obslog.club.sky.by_day import by_day_words, is_too_light
from obslog.club.sky.pole import PoleNow, pole_now
from obslog.club.sky.sun_and_moon import SunMoon, sun_and_moon
from obslog.club.targets.eyepiece_choice import EyepieceAdvice, eyepiece_for
from obslog.club.targets.eyepieces_at_hand import Outing
from obslog.club.targets.planned_targets import Wish
from obslog.club.targets.target_plan import plan_targets
from obslog.club.upkeep.services import ServiceLine, services_of
from obslog.errors import ObslogError
from obslog.pointing.planning.star_choice import TooFewStars
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Member, Mount, Night, Setup, Site, Tube
from obslog.sky.evening.dark_windows import NotDark
from obslog.vocabulary.cautions import SUN_CAUTION
from obslog.vocabulary.hint_options import MOUNT_OPTIONS
from obslog.vocabulary.mounts import MountType

SYNCS, TARGETS = 3, 6
# Messier observed from 49° north: from here on the best of the sky is what he never saw. Common practice.
SOUTH_OF_DEG = 15.0
SOUTHERN = (*(f"M {n}" for n in range(1, 111)), *(f"C {n}" for n in range(1, 110)), "LMC", "SMC")


class _Evening(NamedTuple):
    """What is the same for all mounts of an evening."""

    view: ObservingSite
    sync_utc: datetime
    night: date
    others: list[Subject]
    past: PastNights
    stars: StarsNow
    notices: KitNotices
    site: UUID
    member: Member | None


class NoMounts(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "No mount in use is on record.",
            f"Add one: obslog mount add NAME {MOUNT_OPTIONS}",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class MountBrief:
    """What to know of one mount tonight. Where no stars could be planned, `not_planned` says why.

    `after_each` is what to expect after each of the stars, `forecast` what past nights of this mount, person and site
    say; None where they are too few.
    """

    mount: str
    tube: str | None
    scale: str | None
    stars: list[StarStep]
    expected_landing_arcmin: Expected | None
    after_each: list[Expected]
    forecast: NightForecast | None
    eyepiece: EyepieceAdvice | None
    basis: list[str]
    not_planned: str | None
    look_first: list[LookFirst]
    open_snags: list[SnagLine]
    last_service: ServiceLine | None
    notices: list[Notice]


@dataclass(frozen=True, slots=True)
class BriefTarget:
    """A showpiece that stands well tonight, in the order in which to go to it."""

    name: str
    title: str
    at_utc: datetime
    alt_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Brief:
    """The evening at a site: Sun, Moon and pole for all, then mount by mount. Instants in UTC.

    `sync_utc` is when the stars are planned for: the time asked about, or civil dusk where that is later. Where no dusk
    comes and it is too light for stars, `too_light` says so.
    """

    site: str
    member: str | None
    night: date
    at_utc: datetime
    sync_utc: datetime
    too_light: str | None
    sun_moon: SunMoon
    pole: PoleNow | None
    mounts: list[MountBrief]
    targets: list[BriefTarget]
    cautions: list[str]


def brief(
    database: Database,
    view: ObservingSite,
    at_utc: datetime,
    mount_names: Sequence[str] = (),
    *,
    member_name: str | None = None,
) -> Brief:
    """The briefing for the mounts named; else for those that were set up at this site; else for all in use.

    Raises UnknownName, NoMounts, DateOutsideEphemeris.
    """
    with database.read() as session:
        mounts = _mounts(session, view.site, mount_names)
        member = by_name(session, Member, member_name) if member_name else None
        site = by_name(session, Site, view.site)
        others = [Subject("site", site.name, site.id)]
        if member is not None:
            others.append(Subject("member", member.name, member.id))
        night, sky = view.night_at(at_utc), sun_and_moon(view, at_utc)
        sync_utc = _sync_time(view, at_utc, sky)
        evening = _Evening(
            view=view,
            sync_utc=sync_utc,
            night=night,
            others=others,
            past=read_past_nights(session, night),
            stars=stars_now(view, sync_utc),
            notices=KitNotices(session, night),
            site=site.id,
            member=member,
        )
        briefs = [_of_mount(session, evening, mount) for mount in mounts]
    return Brief(
        site=view.site,
        member=member.name if member else None,
        night=night,
        at_utc=at_utc,
        sync_utc=sync_utc,
        too_light=by_day_words(view, at_utc) if sync_utc == at_utc else None,
        sun_moon=sky,
        pole=pole_now(view, at_utc) if any(m.mount_type is not MountType.ALTAZ for m in mounts) else None,
        mounts=briefs,
        targets=_targets(database, view, sync_utc, member.name if member else None),
        cautions=[caution for caution in (sky.caution, SUN_CAUTION) if caution],
    )


def _targets(
    database: Database, view: ObservingSite, at_utc: datetime, member: str | None
) -> list[BriefTarget]:
    """A few planets and well-known objects that are well placed and that the member has not seen; none in daylight."""
    southern = view.place.lat_deg < SOUTH_OF_DEG
    wish = Wish(
        listed=None if southern else "messier",
        names=SOUTHERN if southern else None,
        most=TARGETS,
        not_seen_by=member,
        wanderers=True,
    )
    try:
        plan = plan_targets(database, view, at_utc, wish)
    except NotDark:
        return []
    return [
        BriefTarget(target.name, target.full_title, target.at_utc, target.alt_deg) for target in plan.targets
    ]


def _mounts(session: Session, site_name: str, names: Sequence[str]) -> list[Mount]:
    if names:
        named = (by_name(session, Mount, name) for name in names)
        return list({mount.id: mount for mount in named}.values())
    in_use = select(Mount).where(Mount.retired_on.is_(None)).order_by(Mount.name_key)
    here = (
        select(Setup.mount_id).join(Night, Setup.night_id == Night.id).join(Site, Night.site_id == Site.id)
    ).where(Site.name == site_name)
    found = list(session.scalars(in_use.where(Mount.id.in_(here)))) or list(session.scalars(in_use))
    if not found:
        raise NoMounts
    return found


def _sync_time(view: ObservingSite, at_utc: datetime, sky: SunMoon) -> datetime:
    """Dusk instead of the daylight before it: stars cannot be synced on by day."""
    dusk = sky.twilight_utc["civil_dusk"]
    return dusk if dusk is not None and at_utc < dusk and is_too_light(view, at_utc) else at_utc


def _of_mount(session: Session, evening: _Evening, mount: Mount) -> MountBrief:
    plan, why_not = _plan(evening, mount)
    subjects = [Subject("mount", mount.name, mount.id), *evening.others]
    services, past = services_of(session, mount.id), evening.past
    expected = plan.expected_landing_arcmin if plan else None
    has_pole = mount.mount_type is not MountType.ALTAZ
    guides = steps_in_force(session).to_learn_from(mount.mount_type, mount.controller)
    return MountBrief(
        mount=mount.name,
        tube=plan.tube if plan else None,
        scale=scale_value(evening.view.place.lat_deg, past.polar.get(mount.name)) if has_pole else None,
        stars=plan.stars if plan else [],
        expected_landing_arcmin=expected,
        after_each=plan.after_each if plan else [],
        forecast=night_forecast(
            past.fits.snapshot,
            mount.id,
            _tube_of(past, mount, plan),
            evening.view.site,
            evening.member.name if evening.member else None,
        ),
        eyepiece=_eyepiece(session, evening, mount, plan) if plan else None,
        basis=plan.basis if plan else [],
        not_planned=why_not,
        look_first=look_first(past.occasions, subjects, guides, evening.night),
        open_snags=open_snags_of(session, mount.id),
        last_service=services[0] if services else None,
        notices=evening.notices.about(mount.id, plan.tube if plan else None),
    )


def _eyepiece(session: Session, evening: _Evening, mount: Mount, plan: StarPlan) -> EyepieceAdvice | None:
    expected = plan.expected_landing_arcmin
    if plan.tube is None:
        return None
    outing = Outing(
        site=evening.site,
        mount=mount.id,
        tube=by_name(session, Tube, plan.tube),
        member=evening.member.id if evening.member else None,
    )
    return eyepiece_for(session, outing, expected.half, expected.ninety_five_percent)


def _tube_of(past: PastNights, mount: Mount, plan: StarPlan | None) -> UUID | None:
    """The key of the tube that stars are planned with; where none are planned, of the one used most of late."""
    snapshot = past.fits.snapshot
    if plan is None:
        return most_used_tube(snapshot.arrivals(mount.id))
    return snapshot.tube_named(plan.tube) if plan.tube else None


def _plan(evening: _Evening, mount: Mount) -> tuple[StarPlan | None, str | None]:
    view, sync_utc = evening.view, evening.sync_utc
    limits = usual_limits(view)
    try:
        plan = plan_stars(
            evening.past.fits, mount.name, None, view, sync_utc, SYNCS, limits, now=evening.stars
        )
    except NoController:
        return None, None
    except (MountTypeUnknown, TooFewStars) as error:
        return None, error.message
    return plan, None
