"""A step of the checklist that is due at this moment and has often gone wrong with this mount."""

from sqlalchemy.orm import Session

from obslog.club.checklist.look_first import LookFirst, Subject, look_first
from obslog.club.checklist.past_nights import read_past_nights
from obslog.club.checklist.step_guides import steps_for
from obslog.club.checklist.step_ticks import ticks_of_night
from obslog.club.live.answers import LiveAnswer, LiveKind
from obslog.club.live.situation import LiveMemory, Situation
from obslog.club.performance.mathematics import MATHEMATICS
from obslog.estimate_words import percent_words
from obslog.records.kept_results import KeptResults, Result
from obslog.vocabulary import Role, Step

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
    setup = at.where.setup.id
    if setup not in memory.look_first:
        memory.look_first[setup] = _of_this_mount(session, at)
    lines = memory.look_first[setup]
    if not lines:
        return []
    ticked = ticks_of_night(session, at.where.mount, at.where.site, at.where.night.night_of)
    due = next((line for line in lines if line.step in _due(at) and line.step not in ticked), None)
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


def _due(at: Situation) -> frozenset[Step]:
    if not at.on_record:
        return BEFORE_THE_FIRST_STAR
    syncs = sum(arrival.role == Role.SYNC for arrival in at.on_record)
    return WHILE_SYNCING if syncs < SYNCED and len(at.on_record) <= SYNCED else AFTERWARDS


def _of_this_mount(session: Session, at: Situation) -> list[LookFirst]:
    """The steps to look at first of the mount alone, as its nights before this one tell; kept for the whole night."""
    mount, night = at.where.mount, at.where.night.night_of
    kept = KeptResults.of(session, MATHEMATICS)

    def made() -> list[LookFirst]:
        known = read_past_nights(session, night)
        earlier = [one for one in known.occasions if one.night_of < night]
        subject = Subject("mount", mount.name, mount.id)
        found = look_first(earlier, [subject], steps_for(mount.mount_type), night)
        return [line for line in found if line.probability >= SURELY_OFTEN]

    result = Result.of_mount(LOOK_FIRST, mount.id)
    return kept.get(result, (), list[LookFirst], made, basis=(f"{night}", mount.name))
