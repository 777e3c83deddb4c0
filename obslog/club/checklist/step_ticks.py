"""Ticked steps: who did which step with which mount, whether it went well, and the value that was read or set."""

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.night.open_night import Where, open_setup
from obslog.club.register.observing_site import zone_or_utc
from obslog.club.register.typed_values import written
from obslog.club.register.usual_choices import Me, myself
from obslog.club.routine.club_steps import steps_in_force
from obslog.errors import WrongInput, quoted
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.name_lookup import by_name, member_here
from obslog.records.tables.logbook_tables import Member, Mount, Setup, Site, Tick
from obslog.times import night_bounds_utc, night_of, not_in_future
from obslog.vocabulary.steps import StepKey

LONGEST_VALUE = 200
MOST_VALUES = 10


class NoSuchStep(WrongInput):
    def __init__(self, step: StepKey, mount: str) -> None:
        super().__init__(
            f"A set-up of {mount} has no step {step}.",
            f"See its steps: obslog checklist {quoted(mount)} --site SITE",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class TickLine:
    """A ticked step as it is shown; `went_well` is None where nobody said."""

    step: StepKey
    mount: str
    site: str
    member: str | None
    at_utc: datetime
    went_well: bool | None
    value: str | None


@dataclass(frozen=True, slots=True)
class Ticked:
    """Tonight's last tick of a step."""

    at_utc: datetime
    went_well: bool | None
    value: str | None


def tick_step(
    database: Database,
    step: StepKey,
    mount_name: str,
    site_name: str,
    at_utc: datetime,
    now: datetime,
    *,
    member_name: str | None = None,
    went_well: bool | None = True,
    value: str | None = None,
    me: Me | None = None,
) -> TickLine:
    """Tick a step of tonight's checklist; it belongs to the mount's open set-up at that site, where there is one.

    Without a name it is by the set-up's observer, else by `me`, the person at this machine.
    Raises UnknownName, SeveralNamesFit, NoSuchStep, FutureTime, UnusableText.
    """
    text = written(value, "The value", LONGEST_VALUE) if value is not None else None
    with database.write(now, f"tick {step} of {mount_name}") as session:
        mount, site = by_name(session, Mount, mount_name), by_name(session, Site, site_name)
        steps = steps_in_force(session)
        step = steps.meant(step)
        call_act(session, f"tick {step} of {mount.name}")
        if step not in {guide.step for guide in steps.guides(mount.mount_type, mount.controller)}:
            raise NoSuchStep(step, mount.name)
        where = open_setup(session, mount.name)
        setup = where.setup if where and _holds(where, site, at_utc) else None
        member = _who_ticked(session, member_name, setup, me)
        tick = Tick(
            at_utc=not_in_future(at_utc, now),
            step=step,
            went_well=went_well,
            value=text,
            setup_id=setup.id if setup else None,
            mount_id=mount.id,
            member_id=member.id if member else None,
            site_id=site.id,
        )
        session.add(tick)
        return TickLine(
            step=step,
            mount=mount.name,
            site=site.name,
            member=member.name if member else None,
            at_utc=tick.at_utc,
            went_well=went_well,
            value=text,
        )


def _who_ticked(session: Session, name: str | None, setup: Setup | None, me: Me | None) -> Member | None:
    """The member of that name; else the set-up's observer, else the person at this machine."""
    if name:
        return member_here(session, name)
    if setup is not None and setup.member_id is not None:
        return session.get(Member, setup.member_id)
    return myself(session, me()) if me is not None else None


def _holds(where: Where, site: Site, at_utc: datetime) -> bool:
    """Whether an instant at a site lies in the night of an open set-up."""
    zone = zone_or_utc(site.zone)
    return where.site.id == site.id and night_of(at_utc, zone) == where.night.night_of


def ticks_of_night(session: Session, mount: Mount, site: Site, night: date) -> dict[StepKey, Ticked]:
    """The last tick of each step of a mount on a night at a site."""
    begin, end = night_bounds_utc(night, zone_or_utc(site.zone))
    query = (
        select(Tick)
        .where(Tick.mount_id == mount.id, Tick.site_id == site.id, Tick.at_utc >= begin, Tick.at_utc < end)
        .order_by(Tick.at_utc, Tick.id)
    )
    return {tick.step: Ticked(tick.at_utc, tick.went_well, tick.value) for tick in session.scalars(query)}


def values_ticked(session: Session, mount: Mount, step: StepKey, before: datetime) -> list[str]:
    """The newest values read at a step with a mount, the newest first."""
    query = (
        select(Tick.value)
        .where(Tick.mount_id == mount.id, Tick.step == step, Tick.value.is_not(None), Tick.at_utc < before)
        .order_by(Tick.at_utc.desc(), Tick.id.desc())
        .limit(MOST_VALUES)
    )
    return [value for value in session.scalars(query) if value is not None]
