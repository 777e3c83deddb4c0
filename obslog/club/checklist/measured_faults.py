"""What the arrivals themselves show to have gone wrong: first stars far out, landings far out, a polar axis far off."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.checklist.first_stars import Beginnings
from obslog.club.checklist.setup_outcomes import Occasion, Occasions, Wrong
from obslog.club.performance.landing_errors import Landings
from obslog.club.performance.mount_levels import MountLevel, levels_now
from obslog.club.performance.polar_record import PolarRecord
from obslog.club.register.observing_site import ObservingSite, view_from
from obslog.records.tables.logbook_tables import Mount, Site
from obslog.sky.names.lookup import found_or_none
from obslog.vocabulary.mistakes import Cause, SetupFault
from obslog.vocabulary.mounts import MountType
from obslog.vocabulary.steps import Step

CAUSE_FROM = 0.5
MOST_EXPLAINED = 40
FAR_LANDING_ARCMIN = 30.0
"""The radius of the field of a low magnification: what lands farther out is not seen in it."""
POLAR_TOLERANCE_ARCMIN = 30.0
"""What the step asks for, for looking."""

STEP_OF_CAUSE = {
    Cause.SUMMER_TIME: Step.KEY_IN,
    Cause.CLOCK: Step.KEY_IN,
    Cause.TIME_ZONE: Step.KEY_IN,
    Cause.MORNING_FOR_EVENING: Step.KEY_IN,
    Cause.DATE: Step.KEY_IN,
    Cause.DAY_AND_MONTH_SWAPPED: Step.KEY_IN,
    Cause.LONGITUDE_SIGN: Step.KEY_IN,
    Cause.ANOTHER_SITES_LONGITUDE: Step.KEY_IN,
    Cause.DEGREES_AND_MINUTES: Step.KEY_IN,
    Cause.LATITUDE: Step.KEY_IN,
    Cause.DECLINATION_ZERO: Step.HOME,
    Cause.HOUR_AXIS_HOME: Step.HOME,
    Cause.WRONG_STAR: Step.SYNC_STARS,
    Cause.SENT_TO_ANOTHER_STAR: Step.SYNC_STARS,
    Cause.POLAR_AXIS: Step.POLAR_AXIS,
}
MEASURED = frozenset({SetupFault.FAR_LANDINGS, Cause.POLAR_AXIS, SetupFault.TILTED_BASE})
NO_MISTAKE_OF_A_STEP = frozenset({Cause.ORDINARY, Cause.EQUINOX, Cause.SOMETHING_ELSE})


@dataclass(frozen=True, slots=True, kw_only=True)
class FarFirstStar:
    """The first arrival of a set-up, before any sync, that was far out."""

    occasion: Occasion
    star: str
    at_utc: datetime
    east_arcmin: float
    north_arcmin: float
    mount_type: MountType
    view: ObservingSite


def note_lost_first_stars(
    session: Session, begun: Sequence[Beginnings], occasions: Occasions
) -> list[FarFirstStar]:
    """Those lost count at the step where place and time are keyed in, the usual reason; those measured are given."""
    sites = session.scalars(select(Site).where(Site.zone.is_not(None), Site.lat_deg.is_not(None)))
    views = {site.id: view_from(site) for site in sites}
    mount_types = {key: kind for key, kind in session.execute(select(Mount.id, Mount.mount_type))}  # noqa: C416
    found: list[FarFirstStar] = []
    amiss = [star for mount in begun for star in mount.amiss]
    for star in sorted(amiss, key=lambda star: star.at_utc, reverse=True):
        occasion = occasions.of_setup(star.setup)
        if occasion is None or Step.KEY_IN in occasion.wrong:
            continue
        if star.east_arcmin is None or star.north_arcmin is None:
            occasion.wrong[Step.KEY_IN] = Wrong(
                f"first star {star.star} not found", SetupFault.FIRST_STAR_LOST
            )
            continue
        view = views.get(occasion.site_id) if occasion.site_id else None
        if view is not None and found_or_none(star.star) is not None:
            kind = mount_types[occasion.mount_id] if occasion.mount_id else None
            found.append(
                FarFirstStar(
                    occasion=occasion,
                    star=star.star,
                    at_utc=star.at_utc,
                    east_arcmin=star.east_arcmin,
                    north_arcmin=star.north_arcmin,
                    mount_type=kind or MountType.GERMAN,
                    view=view,
                )
            )
    return found


def note_explained_first_stars(session: Session, far: list[FarFirstStar]) -> None:
    """At the step of the mistake that most likely put each first star so far out; the newest are explained."""
    if not far:
        return
    from obslog.club.aligning.club_record import read_club_record
    from obslog.club.aligning.first_star_mistakes import FirstMiss, causes_of_miss
    from obslog.club.aligning.star_candidates import BelowTheHorizon

    record = read_club_record(session)
    for one in far[:MOST_EXPLAINED]:
        miss = FirstMiss(star=one.star, east_deg=one.east_arcmin / 60, north_deg=one.north_arcmin / 60)
        try:
            likeliest = causes_of_miss(record, one.view, one.at_utc, [miss], one.mount_type)[0]
        except BelowTheHorizon:  # its time or its name is wrong: that is for `pointing mistakes` to say
            continue
        if likeliest.probability < CAUSE_FROM or likeliest.cause in NO_MISTAKE_OF_A_STEP:
            continue
        miss_deg = float(np.hypot(one.east_arcmin, one.north_arcmin)) / 60
        text = f"first star {one.star} {miss_deg:.0f}° off; {likeliest.what}"
        step, cause = _step_and_cause(likeliest.cause, one.mount_type)
        one.occasion.wrong.setdefault(step, Wrong(text, cause, likeliest.remedy))


def _step_and_cause(cause: Cause, mount_type: MountType | None) -> tuple[Step, Cause | SetupFault]:
    """Where a mistake is made and what it is called; the base of an alt-azimuth mount is its polar axis."""
    if cause is Cause.POLAR_AXIS and mount_type is MountType.ALTAZ:
        return Step.LEVEL, SetupFault.TILTED_BASE
    return STEP_OF_CAUSE[cause], cause


def note_far_landings(landings: Landings, occasions: Occasions) -> None:
    """Set-ups of which it is certain that half of the arrivals landed outside such a field."""
    for place in np.flatnonzero(landings.errors.low_arcmin > FAR_LANDING_ARCMIN):
        occasion = occasions.of_setup(landings.setups[place].key)
        if occasion is not None:
            half = landings.errors.half_arcmin[place]
            occasion.wrong.setdefault(
                Step.VERIFY, Wrong(f"half of the go-tos landed over {half:.0f}' out", SetupFault.FAR_LANDINGS)
            )


def note_former_mounts(landings: Landings, levels: Sequence[MountLevel], occasions: Occasions) -> None:
    """Set-ups of a mount as it is no longer: how it landed then says nothing of tonight."""
    those = [
        (setup, level)
        for setup, level in zip(landings.setups, levels, strict=True)
        if setup.night <= occasions.until
    ]
    now = levels_now([level for _, level in those])
    for setup, level in those:
        occasion = occasions.of_setup(setup.key)
        if occasion is not None:
            occasion.former = level != now.get(level.era.key)
            occasion.with_tube = "" if occasion.former else level.with_tube


def note_polar_errors(occasions: Occasions, record: PolarRecord) -> None:
    """Set-ups of one mount whose polar axis, or base, was certainly farther off than looking allows."""
    step, cause = _step_and_cause(Cause.POLAR_AXIS, record.mount_type)
    words = "base tilted by {:.0f}'" if step is Step.LEVEL else "polar axis {:.0f}' off"
    for label, separation in record.separations:
        occasion = occasions.of_setup(label.key)
        if occasion is not None and separation.value - 2 * separation.sd > POLAR_TOLERANCE_ARCMIN:
            occasion.wrong.setdefault(step, Wrong(words.format(separation.value), cause))
