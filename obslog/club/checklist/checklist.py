"""Preparing a set-up: the checklist, where to look first, and beside each step what went wrong there before."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import datetime

from obslog.club.checklist.equipment_notices import KitNotices, Notice
from obslog.club.checklist.look_first import LookFirst, Subject, look_first
from obslog.club.checklist.past_nights import read_past_nights
from obslog.club.checklist.past_snags import PastSnags, by_the_clocks_of, past_snag_words, past_snags
from obslog.club.checklist.step_ticks import Ticked, ticks_of_night, values_ticked
from obslog.club.checklist.step_values import Tonight, step_values
from obslog.club.register.observing_site import zone_or_utc
from obslog.club.routine.club_steps import Steps, steps_in_force
from obslog.club.routine.step_guides import StepGuide
from obslog.club.sky.solar_questions import caution_by_day
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Member, Mount, Night, Setup, Site, Snag
from obslog.times import night_of
from obslog.vocabulary.cautions import SUN_CAUTION
from obslog.vocabulary.steps import Step, StepKey


@dataclass(frozen=True, slots=True, kw_only=True)
class ChecklistStep:
    """A step with tonight's values and its past."""

    order: int
    step: StepKey
    title: str
    do: str
    tolerance: str
    why: str
    values: list[str]
    snags: list[PastSnags] = field(default_factory=list)
    tick: Ticked | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Checklist:
    """The checklist of one mount at one site for one evening; `look_first` are steps that go wrong often here.

    `by_day` is the caution of the Sun while it is up, which comes before the one that always stands there.
    """

    mount: str
    site: str
    member: str | None
    at_utc: datetime
    local: str
    by_day: str | None
    caution: str
    steps: list[ChecklistStep]
    look_first: list[LookFirst] = field(default_factory=list)
    notices: list[Notice] = field(default_factory=list)


def checklist(
    database: Database, mount_name: str, site_name: str, at_utc: datetime, *, member_name: str | None = None
) -> Checklist:
    """The steps in order, with what is to be keyed in and what went wrong before. Raises UnknownName."""
    with database.read() as session:
        mount, site = by_name(session, Mount, mount_name), by_name(session, Site, site_name)
        member = by_name(session, Member, member_name) if member_name else None
        night = night_of(at_utc, zone_or_utc(site.zone))
        past = past_snags(session, "mount", mount, Snag.equipment_id == mount.id, Setup.mount_id == mount.id)
        if member is not None:
            past += past_snags(
                session, "member", member, Snag.member_id == member.id, Setup.member_id == member.id
            )
        past += past_snags(session, "site", site, Snag.site_id == site.id, Night.site_id == site.id)
        ticks = ticks_of_night(session, mount, site, night)
        volts = values_ticked(session, mount, Step.POWER, at_utc)
        notices = KitNotices(session, night).about(mount.id)
        known, steps = read_past_nights(session, night), steps_in_force(session)
    guides, polar = steps.guides(mount.mount_type, mount.controller), known.polar.get(mount.name)
    tonight = Tonight(site=site, mount=mount, at_utc=at_utc, polar=polar, volts=volts)
    subjects = [Subject("mount", mount.name, mount.id), Subject("site", site.name, site.id)]
    if member is not None:
        subjects.append(Subject("member", member.name, member.id))
    local = at_utc.astimezone(zone_or_utc(site.zone))
    return Checklist(
        mount=mount.name,
        site=site.name,
        member=member.name if member else None,
        at_utc=at_utc,
        local=f"{local:%Y-%m-%d %H:%M}",
        by_day=caution_by_day(at_utc, site),
        caution=SUN_CAUTION,
        steps=[
            _step(order, guide, tonight, past, ticks.get(guide.step)) for order, guide in enumerate(guides, 1)
        ],
        look_first=look_first(
            known.occasions, subjects, steps.to_learn_from(mount.mount_type, mount.controller), night
        ),
        notices=[*notices, *_left_out(mount, site, steps, past)],
    )


def _left_out(
    mount: Mount, site: Site, steps: Steps, past: Iterable[tuple[StepKey, PastSnags]]
) -> Iterator[Notice]:
    """What went wrong at steps that the club has left out: it counts, and is told above the steps."""
    snags = list(past)
    for guide in steps.left_out(mount.mount_type, mount.controller):
        told = [past_snag_words(by_the_clocks_of(site, one)) for step, one in snags if step == guide.step]
        if told:
            yield Notice("step", mount.name, None, f"{guide.title}; {'; '.join(told)}")


def _step(
    order: int,
    guide: StepGuide,
    tonight: Tonight,
    past: Iterable[tuple[StepKey, PastSnags]],
    tick: Ticked | None,
) -> ChecklistStep:
    return ChecklistStep(
        order=order,
        step=guide.step,
        title=guide.title,
        do=guide.do,
        tolerance=guide.tolerance,
        why=guide.why,
        values=step_values(guide.step, tonight),
        snags=[by_the_clocks_of(tonight.site, snags) for step, snags in past if step == guide.step],
        tick=tick,
    )
