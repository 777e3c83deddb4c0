"""Arrivals recorded as they happen, in one short line: syncs, checks and go-tos."""

from dataclasses import dataclass, replace
from datetime import date, datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.night.arrival_entries import ArrivalEntry, apply_entry
from obslog.club.night.arrival_remarks import arrival_remarks, twice_remarks
from obslog.club.night.open_night import SetupChoice, Where, chosen_setup, instant_in_night
from obslog.club.night.plausibility import (
    OtherSideOfPier,
    question_all,
    question_altitude,
    question_pier,
    question_time,
)
from obslog.club.night.setups import ArrivalLine, numbered_line, side_since_flip
from obslog.club.sky.solar_questions import caution_at
from obslog.errors import WrongInput, quoted
from obslog.grammar.target_names import Target, target_named
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Arrival
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import Controller, PierSide


class AlreadyRecorded(WrongInput):
    def __init__(self, role: Role, target: str, line: ArrivalLine) -> None:
        super().__init__(
            f"The {role} of {target} at {line.at} is on record already, as number {line.number}.",
            f"Change it with: obslog edit {line.number}; or give another time with --at.",
        )


class GoesToNothing(WrongInput):
    def __init__(self, mount: str, role: Role) -> None:
        super().__init__(
            f"{mount} has no controller that goes to objects, so it takes no {role}.",
            f"Record what was seen: obslog saw OBJECT. If it has one: obslog mount edit {quoted(mount)} "
            "--controller shift",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedArrival:
    """An arrival as it went on record, the solar caution that pointing there needs, and what else should be said."""

    mount: str
    arrival: ArrivalLine
    remarks: list[str]
    caution: str | None
    night: date


def record_arrival(
    database: Database,
    role: Role,
    entry: ArrivalEntry,
    choice: SetupChoice,
    now: datetime,
    *,
    sure: bool = False,
) -> RecordedArrival:
    """Put an arrival on record in the set-up that was chosen, or the open one; `sure` takes what is questioned."""
    target = target_named(fields.TARGET.checked(entry.target or ""))
    with database.write(now, f"{role} {target.name}") as session:
        where = chosen_setup(session, choice)
        arrival = note_arrival(session, where, role, target, entry, now, sure=sure)
        recorded = recorded_arrival(session, arrival, target, entry, where)
        return replace(recorded, remarks=[*recorded.remarks, *twice_remarks(session, arrival, where)])


def recorded_arrival(
    session: Session, arrival: Arrival, target: Target, entry: ArrivalEntry, where: Where
) -> RecordedArrival:
    """An arrival that is on record now, and what should be said about it."""
    line = numbered_line(session, arrival, where)
    return RecordedArrival(
        mount=where.mount.name,
        arrival=line,
        remarks=arrival_remarks(arrival, line, placed_target(target, arrival), entry, where),
        caution=caution_at(placed_target(target, arrival), arrival.at_utc, where.site),
        night=where.night.night_of,
    )


def note_arrival(
    session: Session,
    where: Where,
    role: Role,
    target: Target,
    entry: ArrivalEntry,
    now: datetime,
    *,
    sure: bool = False,
) -> Arrival:
    """Put an arrival on record in a set-up, within a transaction.

    Raises what reading times and offsets raises, OutOfRange, UnusableText, AlreadyRecorded, and unless `sure` Doubtful:
    of an object that was below the horizon, a time before the set-up began, or a side of the pier that is not usual.
    """
    if where.mount.controller is Controller.NONE:
        raise GoesToNothing(where.mount.name, role)
    arrival = Arrival(
        setup_id=where.setup.id,
        at_utc=instant_in_night(entry.at, where.night, where.site, now),
        role=role,
        target=target.name,
        member_id=where.setup.member_id,
    )
    apply_entry(session, arrival, entry, target, where)
    if arrival.pier_side is None:
        arrival.pier_side = _side_still(arrival, target, where)
    if not sure:
        question_arrival(arrival, target, where)
    refuse_twin(session, arrival, where)
    session.add(arrival)
    session.flush()
    return arrival


def _side_still(arrival: Arrival, target: Target, where: Where) -> PierSide | None:
    """The side on which the tube was before, where it can still be there: mounts turn over of themselves."""
    side = side_since_flip(where.setup, arrival.at_utc)
    try:
        question_pier(
            side, placed_target(target, arrival), arrival.at_utc, where.site, where.mount.mount_type
        )
    except OtherSideOfPier:
        return None
    return side


def question_arrival(arrival: Arrival, target: Target, where: Where) -> None:
    """Raises Doubtful where the time, the target or the side of the pier is a likely slip, with all that is."""
    placed = placed_target(target, arrival)
    at_utc, site = arrival.at_utc, where.site
    question_all(
        lambda: question_time(at_utc, where.setup, site),
        lambda: question_altitude(placed, at_utc, site),
        lambda: question_pier(arrival.pier_side, placed, at_utc, site, where.mount.mount_type),
    )


def placed_target(target: Target, arrival: Arrival) -> Target:
    """The target at the place that was said, where one was."""
    if arrival.ra_hours is None:
        return target
    return replace(target, ra_hours=arrival.ra_hours, dec_deg=arrival.dec_deg)


def refuse_twin(session: Session, arrival: Arrival, where: Where) -> None:
    """Raises AlreadyRecorded where the set-up has another arrival of the same time, role and target."""
    twin = session.scalar(
        select(Arrival).where(
            Arrival.setup_id == arrival.setup_id,
            Arrival.at_utc == arrival.at_utc,
            Arrival.role == arrival.role,
            Arrival.target == arrival.target,
            Arrival.id != arrival.id,
        )
    )
    if twin is not None:
        raise AlreadyRecorded(arrival.role, arrival.target, numbered_line(session, twin, where))
