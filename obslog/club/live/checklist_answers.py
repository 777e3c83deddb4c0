"""A step of the checklist that is due at this moment and has often gone wrong with this mount."""

from collections.abc import Callable
from datetime import date

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.checklist.look_first import LookFirst, Subject, look_first
from obslog.club.checklist.past_nights import PastNights, read_past_nights
from obslog.club.checklist.step_ticks import ticks_of_night
from obslog.club.live.answers import LiveAnswer, LiveKind
from obslog.club.live.situation import LiveMemory, Situation
from obslog.club.performance.mathematics import MATHEMATICS
from obslog.club.performance.snapshot import Snapshot
from obslog.club.register.observing_site import zone_or_utc
from obslog.club.routine.club_steps import Steps, steps_in_force
from obslog.estimate_words import percent_words
from obslog.records.kept_results import KeptResults, Result
from obslog.records.tables.logbook_tables import Mount, Night, Service, Setup, Snag, Tick
from obslog.times import night_bounds_utc
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import MountType
from obslog.vocabulary.steps import Step, StepKey

LOOK_FIRST = "look first of a set-up"
BEFORE_THE_FIRST_STAR = frozenset(
    {
        Step.GROUND, Step.LEVEL, Step.ASSEMBLE, Step.BALANCE, Step.HOME, Step.FINDER, Step.CABLES, Step.POWER,
        Step.COOL, Step.KEY_IN, Step.POLAR_AXIS,
    }
)  # fmt: skip
WHILE_SYNCING = frozenset({Step.SYNC_STARS, Step.CENTRE})
AFTERWARDS = frozenset({Step.VERIFY})
SYNCED = 2
SURELY_OFTEN = 0.8
"""How likely it must be that the step goes wrong more often than it should: less belongs on the checklist alone."""


def look_first_answers(session: Session, at: Situation, memory: LiveMemory) -> list[LiveAnswer]:
    """At most one step: of those that are due and not ticked the likeliest to go wrong."""
    setup, mount, night = at.where.setup.id, at.where.mount, at.where.night.night_of
    if setup not in memory.look_first:
        memory.look_first[setup] = kept_look_first(
            session, mount, night, lambda: read_past_nights(session, night)
        )
    lines = memory.look_first[setup]
    if not lines:
        return []
    ticked = ticks_of_night(session, mount, at.where.site, night)
    now, steps = _due(at), steps_in_force(session)
    due = next((line for line in lines if steps.beside(line.step) in now and line.step not in ticked), None)
    if due is None:
        return []
    words = f"look first: {due.title}; {due.evidence}"
    return [
        LiveAnswer(
            kind=LiveKind.LOOK_FIRST,
            words=f"{words} (goes wrong {percent_words(due.rate)} of the time)",
            about=due.step,
            probability=due.rate,
        )
    ]


def keep_look_first(session: Session, snapshot: Snapshot) -> None:
    """Compute ahead what each mount's next set-up is told, for the night after the newest on record."""
    newest = session.scalar(select(func.max(Night.night_of)))
    if newest is None:
        return
    night = date.fromordinal(newest.toordinal() + 1)
    past: list[PastNights] = []

    def read_once() -> PastNights:
        past.extend([] if past else [read_past_nights(session, night)])
        return past[0]

    for mount in session.scalars(select(Mount).where(Mount.id.in_(snapshot.mounts)).order_by(Mount.name_key)):
        kept_look_first(session, mount, night, read_once)


def kept_look_first(
    session: Session, mount: Mount, night: date, read: Callable[[], PastNights]
) -> list[LookFirst]:
    """The steps to look at first of a mount alone, as the nights before this one tell.

    Kept until another night, snag or tick is on record, or the mount was mended; that older nights fade by the day is
    heard then.
    """

    steps = steps_in_force(session)

    def made() -> list[LookFirst]:
        earlier = [one for one in read().occasions if one.night_of < night]
        subject = Subject("mount", mount.name, mount.id)
        found = look_first(earlier, [subject], steps.guides(mount.mount_type), night)
        return [line for line in found if line.probability >= SURELY_OFTEN]

    kept = KeptResults.of(session, MATHEMATICS)
    basis = (
        mount.name,
        mount.mount_type and MountType(mount.mount_type).value,
        _told_before(session, night),
        _mended(session, mount),
        _own(steps),
    )
    return kept.get(Result.of_mount(LOOK_FIRST, mount.id), (), list[LookFirst], made, basis=basis)


def _told_before(session: Session, night: date) -> tuple[int | None, ...]:
    """How many set-ups, snags and ticks are from before a night."""
    begin, _ = night_bounds_utc(night, zone_or_utc(None))
    setups = (
        select(func.count(Setup.id)).join(Night, Setup.night_id == Night.id).where(Night.night_of < night)
    )
    told = (select(func.count(table.id)).where(table.at_utc < begin) for table in (Snag, Tick))
    return session.scalar(setups), *(session.scalar(query) for query in told)


def _mended(session: Session, mount: Mount) -> list[str]:
    """The days of its mechanical services."""
    days = select(Service.done_on).where(Service.equipment_id == mount.id, Service.mechanical)
    return [f"{day}" for day in session.scalars(days.order_by(Service.done_on))]


def _own(steps: Steps) -> list[tuple[str, str]]:
    """What the club has made its own of the steps, for what is kept hangs on it; else nothing."""
    if not steps.own:
        return []
    return [(step, steps.title(step)) for step in steps.known]


def _due(at: Situation) -> frozenset[StepKey]:
    if not at.on_record:
        return BEFORE_THE_FIRST_STAR
    syncs = sum(arrival.role == Role.SYNC for arrival in at.on_record)
    return WHILE_SYNCING if syncs < SYNCED and len(at.on_record) <= SYNCED else AFTERWARDS
