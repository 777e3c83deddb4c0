"""A member's own habits, as far as the records tell: where set-ups land, how near the pole, what is left out."""

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from math import log
from uuid import UUID

import numpy as np
from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.overviews.shares import share_of
from obslog.club.performance.error_sources import sources_of
from obslog.club.performance.mount_fits import MountFits
from obslog.club.performance.mount_levels import mount_levels
from obslog.club.performance.snapshot import Snapshot
from obslog.club.routine.club_steps import Steps, steps_in_force
from obslog.records.tables.logbook_tables import Member, Mount, Setup, Snag, Tick
from obslog.trends.attribution.attribution import NothingToAttribute
from obslog.trends.series.geometric_mean import geometric_mean
from obslog.values import Interval
from obslog.vocabulary.mounts import MountType
from obslog.vocabulary.steps import StepKey


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """The mean of one's own set-ups beside that of all others', each with its count; None where others have none.

    Of a set-up of which it is not on record who made it nobody knows that it was another's: it is neither.
    """

    what: str
    own: Interval
    others: Interval | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StepCount:
    """A step of the checklist: how often it was so, out of how many set-ups, with what that says of the next one."""

    step: StepKey
    title: str
    count: int
    share: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Habits:
    """What a member's set-ups have in common.

    `beside_club` is their landing error beside the club's average of 1, with mounts and sites allowed for. `landing` is
    by mount, before and after it was mended and with each of its tubes, `polar_error` of equatorial mounts;
    `not_ticked` are steps that were left out of the `ticked` set-ups of which others were ticked; `snags` are set-ups
    with a snag at that step.
    """

    setups: int
    beside_club: Interval | None
    landing: Sequence[Beside]
    polar_error: Beside | None
    ticked: int
    not_ticked: Sequence[StepCount]
    snags: Sequence[StepCount]


def habits_of(session: Session, member: Member, fits: MountFits) -> Habits:
    """The habits of a member, from the club's nights."""
    rows = session.execute(select(Setup.id, Setup.mount_id).where(Setup.member_id == member.id)).all()
    mine = {key: mount for key, mount in rows}  # noqa: C416 - rows, to the type checker
    steps = steps_in_force(session)
    ticked, left_out = _not_ticked(session, mine, steps)
    return Habits(
        setups=len(mine),
        beside_club=_beside_club(fits.snapshot, member.name),
        landing=_landing(fits.snapshot, mine),
        polar_error=_polar_error(fits, mine),
        ticked=ticked,
        not_ticked=left_out,
        snags=_snags(session, mine, steps),
    )


def _beside_club(snapshot: Snapshot, name: str) -> Interval | None:
    try:
        effects = sources_of(snapshot).effects
    except NothingToAttribute:
        return None
    return next((one.ratio for one in effects if (one.factor, one.level) == ("observer", name)), None)


def _landing(snapshot: Snapshot, mine: Collection[UUID]) -> list[Beside]:
    """Mount by mount, of those that the member has set up with a landing.

    A mount that was mended, or had several tubes, is compared as it was: nobody is measured by others' straight tube.
    """
    landings = snapshot.all_landings()
    own = np.array([setup.key in mine for setup in landings.setups], bool)
    others = ~own & np.array([who is not None for who in landings.observers], bool)
    levels = mount_levels(landings, snapshot.services, snapshot.tubes)
    found = []
    for level in dict.fromkeys(levels):  # in order of mount and time
        of_level = np.array([one == level for one in levels], bool)
        ours = landings.mean_half_arcmin(of_level & own)
        if ours is not None:
            theirs = landings.mean_half_arcmin(of_level & others)
            found.append(Beside(what=str(level), own=ours, others=theirs))
    return found


def _polar_error(fits: MountFits, mine: Collection[UUID]) -> Beside | None:
    """How far from the pole the axes of one's own set-ups stood, with whichever tube.

    None where the arrivals of none of them tell.
    """
    fits.read_ahead()
    landings = fits.snapshot.all_landings()
    signed = {
        setup.key for setup, who in zip(landings.setups, landings.observers, strict=True) if who is not None
    }
    own: list[float] = []
    others: list[float] = []
    for found in (its for mount in fits.snapshot.mounts for its in fits.summaries_of(mount).values()):
        if found.mount_type is MountType.ALTAZ:
            continue
        for setup, away in zip(found.setups, found.separations, strict=True):
            if setup.key in signed and away.determined and away.value > 0:
                (own if setup.key in mine else others).append(log(away.value))
    ours = geometric_mean(own)
    return None if ours is None else Beside(what="polar axis", own=ours, others=geometric_mean(others))


def _not_ticked(session: Session, mine: Collection[UUID], in_force: Steps) -> tuple[int, list[StepCount]]:
    """Of how many set-ups steps were ticked, and which steps were left out of some of them, the most often first."""
    steps: dict[UUID, set[StepKey]] = {}
    for setup, step in session.execute(select(Tick.setup_id, Tick.step).where(Tick.setup_id.is_not(None))):
        if setup is not None and setup in mine:
            steps.setdefault(setup, set()).add(step)
    has_step: Counter[StepKey] = Counter()
    left_out: Counter[StepKey] = Counter()
    guides = _guides(session, steps, in_force)
    for setup, done in steps.items():
        has_step.update(guides[setup])
        left_out.update(guides[setup] - done)
    return len(steps), _counts(left_out, has_step, in_force)


def _guides(session: Session, setups: Collection[UUID], in_force: Steps) -> dict[UUID, set[StepKey]]:
    """The steps that each set-up's mount has."""
    query = select(Setup.id, Mount.mount_type, Mount.controller).join(Mount, Setup.mount_id == Mount.id)
    return {
        key: {guide.step for guide in in_force.guides(mount_type, controller)}
        for key, mount_type, controller in session.execute(query)
        if key in setups
    }


def _snags(session: Session, mine: Collection[UUID], steps: Steps) -> list[StepCount]:
    """The steps at which the member's set-ups had a snag, each set-up once."""
    query = select(Snag.setup_id, Snag.step).where(Snag.setup_id.is_not(None)).distinct()
    counts = Counter(step for setup, step in session.execute(query) if setup in mine)
    return _counts(counts, dict.fromkeys(counts, len(mine)), steps)


def _counts(
    counts: Counter[StepKey], totals: "Counter[StepKey] | dict[StepKey, int]", steps: Steps
) -> list[StepCount]:
    found = [
        _count(step, steps.title(step), counts[step], totals[step])
        for step in steps.in_order([one for one in counts if counts[one]])
    ]
    return sorted(_told(found), key=lambda one: -one.share.value)


def _count(step: StepKey, title: str, count: int, total: int) -> StepCount | None:
    share = share_of(count, total)
    return None if share is None else StepCount(step=step, title=title, count=count, share=share)


def _told(found: Iterable[StepCount | None]) -> list[StepCount]:
    return [one for one in found if one is not None]
