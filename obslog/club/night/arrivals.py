"""Arrivals recorded as they happen, in one short line: syncs, checks and go-tos."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.night.open_night import SetupChoice, Where, chosen_setup, instant_in_night
from obslog.club.night.plausibility import (
    OtherSideOfPier,
    pier_remark,
    question_all,
    question_altitude,
    question_pier,
    question_time,
)
from obslog.club.night.setups import ArrivalLine, numbered_line
from obslog.club.register.true_field import field_in_use_arcmin
from obslog.club.sky.solar_questions import caution_at
from obslog.errors import WrongInput, quoted
from obslog.grammar.arrival_words import ArrivalSaid
from obslog.grammar.target_names import Target, target_named
from obslog.grammar.told_words import once
from obslog.offsets import OffsetOrLanding
from obslog.records.database import Database
from obslog.records.name_lookup import key_of_member
from obslog.records.tables.logbook_tables import Arrival, Setup
from obslog.times import shown_local
from obslog.vocabulary.arrivals import Landing, Role
from obslog.vocabulary.mounts import Controller, MountType, PierSide
from obslog.vocabulary.observations import says_none

A_MOMENT = timedelta(minutes=2)


class AlreadyRecorded(WrongInput):
    def __init__(self, role: Role, target: str, line: ArrivalLine) -> None:
        super().__init__(
            f"The {role} of {target} at {line.at} is on record already, as number {line.number}.",
            f"Change it with: obslog edit {line.number}; or give another time with --at.",
        )


class KeysMoveOtherwise(WrongInput):
    def __init__(self, mount: str) -> None:
        super().__init__(
            f"{mount} is an altaz mount: its keys move in altitude and azimuth, not east and north.",
            "Give the offset in arcminutes on the sky, like 3E 2N, or as a fraction of the field.",
        )


class GoesToNothing(WrongInput):
    def __init__(self, mount: str, role: Role) -> None:
        super().__init__(
            f"{mount} has no controller that goes to objects, so it takes no {role}.",
            f"Record what was seen: obslog saw OBJECT. If it has one: obslog mount edit {quoted(mount)} "
            "--controller shift",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivalEntry:
    """What was said about an arrival. What is None was not said; an empty note takes the old one away."""

    target: str | None = None
    where: OffsetOrLanding | None = None
    at: str | None = None
    pier_side: PierSide | None = None
    eyepiece: str | None = None
    field_arcmin: float | None = None
    centring_arcmin: float | None = None
    ra_hours: float | None = None
    dec_deg: float | None = None
    observer: str | None = None
    role: Role | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedArrival:
    """An arrival as it went on record, the solar caution that pointing there needs, and what else should be said."""

    mount: str
    arrival: ArrivalLine
    remarks: list[str]
    caution: str | None
    night: date


def entry_of(said: ArrivalSaid, told: ArrivalEntry | None = None) -> ArrivalEntry:
    """The arrival that words say, with what was told otherwise. Raises SaidTwice where the two differ."""
    told = told or ArrivalEntry()
    return replace(
        told,
        target=said.target.name,
        where=said.where,
        **{
            name: once(name, getattr(said, name), getattr(told, name))
            for name in ("pier_side", "eyepiece", "field_arcmin", "centring_arcmin", "observer", "note")
        },
    )


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
        return replace(recorded, remarks=[*recorded.remarks, *_twice_remarks(session, arrival, where)])


def recorded_arrival(
    session: Session, arrival: Arrival, target: Target, entry: ArrivalEntry, where: Where
) -> RecordedArrival:
    """An arrival that is on record now, and what should be said about it."""
    line = numbered_line(session, arrival, where)
    remarks = [*arrival_remarks(target, entry, where), *_turned_over_remarks(arrival, where)]
    return RecordedArrival(
        mount=where.mount.name,
        arrival=line,
        remarks=[*remarks, *_early_remarks(arrival, line, where)],
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


def _turned_over_remarks(arrival: Arrival, where: Where) -> list[str]:
    """Says so where the tube was on a side before on which it can hardly be now."""
    side = side_since_flip(where.setup, arrival.at_utc)
    if side is None or arrival.pier_side is not None:
        return []
    return [
        f"The tube was on the {side} side of the pier, and on the way to {arrival.target} a mount turns over: "
        "no side is recorded. With pier east or pier west one is."
    ]


def _early_remarks(arrival: Arrival, line: ArrivalLine, where: Where) -> list[str]:
    """Says so where the first arrival is from before the set-up's beginning; what is much earlier was questioned."""
    began = where.setup.started_utc
    if line.number > 1 or began is None or arrival.at_utc >= began.replace(second=0):
        return []
    return [
        f"On record this set-up began at {shown_local(began, where.zone)}, after {line.at}. To put that right: "
        f"obslog setup edit {quoted(where.mount.name)} --start TIME"
    ]


def side_since_flip(setup: Setup, at_utc: datetime) -> PierSide | None:
    """The side of the pier to which the tube was turned before; None where nobody said so."""
    since = setup.pier_side_since_utc
    return setup.pier_side if since is not None and at_utc >= since else None


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


def _twice_remarks(session: Session, arrival: Arrival, where: Where) -> list[str]:
    """Says so where the same stood at the same place a moment before: it may have been typed twice."""
    same = (Arrival.setup_id, Arrival.role, Arrival.target, Arrival.landing)
    offset = (Arrival.offset_east_arcmin, Arrival.offset_north_arcmin)
    before = session.scalar(
        select(Arrival).where(
            *(column.is_not_distinct_from(getattr(arrival, column.key)) for column in (*same, *offset)),
            Arrival.at_utc.between(arrival.at_utc - A_MOMENT, arrival.at_utc),
            Arrival.id != arrival.id,
        )
    )
    if before is None:
        return []
    line = numbered_line(session, before, where)
    return [
        f"The {arrival.role} of {arrival.target} at {line.at} is just the same, number {line.number}; both are kept. "
        "If it was typed twice: obslog undo"
    ]


def apply_entry(
    session: Session, arrival: Arrival, entry: ArrivalEntry, target: Target, where: Where
) -> None:
    """Write onto the arrival what was said, in the units of the record."""
    _check(entry)
    for column, value in _given(session, arrival, entry, where).items():
        setattr(arrival, column, value)
    if entry.where is None:
        return
    arrival.landing, arrival.offset_east_arcmin, arrival.offset_north_arcmin = None, None, None
    if isinstance(entry.where, Landing):
        arrival.landing = entry.where
        return
    if entry.where.uses_centring_time and where.mount.mount_type == MountType.ALTAZ:
        raise KeysMoveOtherwise(where.mount.name)
    dec_deg = arrival.dec_deg if arrival.dec_deg is not None else target.dec_deg
    east, north = entry.where.in_arcmin(arrival.field_arcmin, dec_deg, target.name)
    fields.OFFSET_ARCMIN.check(east)
    fields.OFFSET_ARCMIN.check(north)
    arrival.offset_east_arcmin, arrival.offset_north_arcmin = round(east, 3), round(north, 3)


def _given(session: Session, arrival: Arrival, entry: ArrivalEntry, where: Where) -> dict[str, Any]:
    """The columns that were said; a note that is nothing takes the old one away."""
    given: dict[str, Any] = {
        "pier_side": entry.pier_side,
        "centring_arcmin": entry.centring_arcmin,
        "note": fields.NOTE.checked(entry.note) if entry.note else None,
        "ra_hours": entry.ra_hours,
        "dec_deg": entry.dec_deg,
        "member_id": key_of_member(session, entry.observer),
    }
    if entry.field_arcmin is not None:
        given["field_arcmin"] = entry.field_arcmin
    elif entry.eyepiece is not None or arrival.field_arcmin is None:
        given["field_arcmin"] = field_in_use_arcmin(session, where.setup, entry.eyepiece)
    said = {column: value for column, value in given.items() if value is not None}
    taken_away = {"note": None} if entry.note == "" else {}
    if says_none(entry.eyepiece) and entry.field_arcmin is None:
        taken_away["field_arcmin"] = None
    return said | taken_away


def _check(entry: ArrivalEntry) -> None:
    fields.FIELD_ARCMIN.check(entry.field_arcmin)
    fields.CENTRING_ARCMIN.check(entry.centring_arcmin)
    fields.RA_HOURS.check(entry.ra_hours)
    fields.DEC_DEG.check(entry.dec_deg)
    if (entry.ra_hours is None) != (entry.dec_deg is None):
        raise WrongInput("A place needs both its coordinates.", "Give --ra HOURS and --dec DEG together.")


def arrival_remarks(target: Target, entry: ArrivalEntry, where: Where) -> list[str]:
    """What should be said about an arrival that went on record.

    That its name is not known, and so not checked; that its mount has no side of the pier.
    """
    unknown = not target.known and entry.ra_hours is None
    remarks = [target.unknown_words(then=" Then: obslog edit --target NAME")] if unknown else []
    pier = pier_remark(entry.pier_side, where.mount.name, where.mount.mount_type)
    return [*remarks, *([pier] if pier else [])]
