"""Preparing a set-up: the checklist, where to look first, and beside each step what went wrong there before."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any, Literal

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from obslog.angles import degrees_and_minutes
from obslog.club.checklist.equipment_notices import KitNotices, Notice
from obslog.club.checklist.look_first import LookFirst, Subject, look_first
from obslog.club.checklist.past_nights import read_past_nights
from obslog.club.checklist.step_ticks import Ticked, ticks_of_night, values_ticked
from obslog.club.checklist.step_values import level_value, pole_values, scale_value, volts_value
from obslog.club.performance.polar_record import PolarRecord
from obslog.club.register.observing_site import view_from, zone_or_utc
from obslog.club.routine.club_steps import Steps, steps_in_force
from obslog.club.routine.step_guides import StepGuide
from obslog.english import counted, how_often
from obslog.records.database import Database
from obslog.records.lean_reading import bare, columns_of, instant_of
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Member, Mount, Night, Setup, Site, Snag
from obslog.times import night_of, standard_offset_hours, zone_named
from obslog.vocabulary.cautions import SUN_CAUTION
from obslog.vocabulary.mounts import MountType
from obslog.vocabulary.steps import Step, StepKey

About = Literal["mount", "member", "site"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PastSnags:
    """How often a step went wrong for one mount, member or site, in how many set-ups, and what it was last."""

    about: About
    name: str
    count: int
    setups: int
    last: datetime
    last_text: str
    last_remedy: str | None


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
    """The checklist of one mount at one site for one evening; `look_first` are steps that go wrong often here."""

    mount: str
    site: str
    member: str | None
    at_utc: datetime
    local: str
    caution: str
    steps: list[ChecklistStep]
    look_first: list[LookFirst] = field(default_factory=list)
    notices: list[Notice] = field(default_factory=list)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tonight:
    """What tonight's values are made from."""

    site: Site
    mount: Mount
    at_utc: datetime
    polar: PolarRecord | None
    volts: list[str]


def past_snag_words(snag: PastSnags, *, told_already: bool = False) -> str:
    """How often and when last; what it was only once, where mount, member and site share their last snag."""
    words = (
        f"{snag.name}: {how_often(snag.count)} in {counted(snag.setups, 'set-up')}, last {snag.last:%Y-%m-%d}"
    )
    if told_already:
        return words
    remedy = f" (remedy: {snag.last_remedy})" if snag.last_remedy else ""
    return f"{words}: {snag.last_text}{remedy}"


def checklist(
    database: Database, mount_name: str, site_name: str, at_utc: datetime, *, member_name: str | None = None
) -> Checklist:
    """The steps in order, with what is to be keyed in and what went wrong before. Raises UnknownName."""
    with database.read() as session:
        mount, site = by_name(session, Mount, mount_name), by_name(session, Site, site_name)
        member = by_name(session, Member, member_name) if member_name else None
        night = night_of(at_utc, zone_or_utc(site.zone))
        past = _past(session, "mount", mount, Snag.equipment_id == mount.id, Setup.mount_id == mount.id)
        if member is not None:
            past += _past(
                session, "member", member, Snag.member_id == member.id, Setup.member_id == member.id
            )
        past += _past(session, "site", site, Snag.site_id == site.id, Night.site_id == site.id)
        ticks = ticks_of_night(session, mount, site, night)
        volts = values_ticked(session, mount, Step.POWER, at_utc)
        notices = KitNotices(session, night).about(mount.id)
        known, steps = read_past_nights(session, night), steps_in_force(session)
    guides, polar = steps.guides(mount.mount_type, mount.controller), known.polar.get(mount.name)
    tonight = _Tonight(site=site, mount=mount, at_utc=at_utc, polar=polar, volts=volts)
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
        told = [past_snag_words(_by_the_clocks_of(site, one)) for step, one in snags if step == guide.step]
        if told:
            yield Notice("step", mount.name, None, f"{guide.title}; {'; '.join(told)}")


def _step(
    order: int,
    guide: StepGuide,
    tonight: _Tonight,
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
        values=_values(guide.step, tonight),
        snags=[_by_the_clocks_of(tonight.site, snags) for step, snags in past if step == guide.step],
        tick=tick,
    )


def _by_the_clocks_of(site: Site, past: PastSnags) -> PastSnags:
    """So that the day told is that of the site: in universal time an evening far west is the next day."""
    return replace(past, last=past.last.astimezone(zone_or_utc(site.zone)))


def _past(
    session: Session,
    about: About,
    record: Mount | Member | Site,
    mine: ColumnElement[bool],
    setups_mine: ColumnElement[bool],
) -> list[tuple[StepKey, PastSnags]]:
    """For each step the snags that are mine: how many, in how many set-ups, and the last."""
    told = (Snag.step, Snag.at_utc, Snag.text, Snag.remedy)
    query = select(*map(bare, told)).where(mine).order_by(Snag.at_utc.desc(), Snag.id.desc())
    steps, *newest_first = columns_of(session, query)
    if not steps:
        return []
    of_setups = (
        select(func.count()).select_from(Setup).join(Night, Setup.night_id == Night.id).where(setups_mine)
    )
    setups = session.scalar(of_setups) or 0
    last: dict[str, tuple[Any, ...]] = {}
    for step, *when_and_what in zip(steps, *newest_first, strict=True):
        last.setdefault(step, tuple(when_and_what))
    how_many = Counter(steps)
    return [
        (
            step,
            PastSnags(
                about=about,
                name=record.name,
                count=how_many[step],
                setups=setups,
                last=instant_of(at_utc),
                last_text=text,
                last_remedy=remedy,
            ),
        )
        for step, (at_utc, text, remedy) in last.items()
    ]


def _values(step: StepKey, tonight: _Tonight) -> list[str]:
    """What is to be keyed in, set or expected tonight at this step."""
    site, at_utc = tonight.site, tonight.at_utc
    if step == Step.KEY_IN:
        return [*_place_values(site), *_time_values(site, at_utc)]
    if step == Step.POWER:
        return volts_value(tonight.volts)
    if site.lat_deg is None or tonight.mount.mount_type is MountType.ALTAZ:
        return []
    if step == Step.LEVEL:
        return [level_value(site.lat_deg)]
    if step == Step.POLAR_AXIS:
        return [scale_value(site.lat_deg, tonight.polar), *pole_values(view_from(site), at_utc)]
    return []


def _place_values(site: Site) -> list[str]:
    if site.lat_deg is None or site.lon_deg is None:
        return ["place not on record: take it from a map or receiver"]
    lat, lon = degrees_and_minutes(site.lat_deg, "NS"), degrees_and_minutes(site.lon_deg, "EW")
    return [f"latitude {lat}, longitude {lon}"]


def _time_values(site: Site, at_utc: datetime) -> list[str]:
    if site.zone is None:
        return [f"UTC {at_utc:%Y-%m-%d %H:%M}; the zone is not on record"]
    zone = zone_named(site.zone)
    local, standard = at_utc.astimezone(zone), standard_offset_hours(site.zone)
    offset = local.utcoffset() or timedelta(0)
    summer = offset > timedelta(hours=standard)
    zone_hours = standard if summer else offset / timedelta(hours=1)  # Morocco's clocks go back for a month
    return [
        f"date {local:%Y-%m-%d} ({local:%d %B %Y}), night of {night_of(at_utc, zone)}",
        f"time {local:%H:%M}, zone {zone_hours:+g} h, summer time {'YES' if summer else 'NO'}",
    ]
