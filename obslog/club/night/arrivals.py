"""Arrivals recorded as they happen, in one short line: syncs, checks and go-tos."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.night.open_night import SetupChoice, Where, chosen_setup, instant_in_night
from obslog.club.night.plausibility import question_altitude, question_time
from obslog.club.night.setups import ArrivalLine, arrival_line, arrivals_in_order
from obslog.club.night.target_names import Target, target_named
from obslog.club.night.true_field import field_in_use_arcmin
from obslog.club.register.typed_values import LONGEST_TARGET, written
from obslog.errors import NothingToChange, ObslogError, OutOfRange, WrongInput
from obslog.offsets import UnreadableOffset, looks_like_offset, read_offset
from obslog.records.name_lookup import key_of
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Arrival, Member
from obslog.sky.names.solar_system import Body
from obslog.vocabulary import SUN_CAUTION, Landing, MountType, PierSide, Role


class AlreadyRecorded(WrongInput):
    def __init__(self, role: Role, target: str, line: ArrivalLine) -> None:
        super().__init__(
            f"The {role} of {target} at {line.at} is on record already, as number {line.number}.",
            f"Change it with: obslog edit {line.number}; or give another time with --at.",
        )


class NoSuchArrival(ObslogError):
    def __init__(self, number: int, last: int) -> None:
        there = f"its arrivals are numbered 1 to {last}" if last else "it has no arrivals yet"
        super().__init__(
            f"There is no arrival {number} in this set-up: {there}.", "See them: obslog setup show"
        )


class KeysMoveOtherwise(WrongInput):
    def __init__(self, mount: str) -> None:
        super().__init__(
            f"{mount} is an altaz mount: its keys move in altitude and azimuth, not east and north.",
            "Give the offset in arcminutes on the sky, like 3E 2N, or as a fraction of the field.",
        )


FARTHEST_ARCMIN = 10800.0  # half a turn of the sky
LANDINGS = frozenset(landing.value for landing in Landing)


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen of an arrival, as far as it was said. A name or number that is None was not said."""

    target: str | None = None
    where: str | None = None
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


@dataclass(frozen=True, slots=True)
class Recorded:
    """An arrival as it went on record, and what should be said about it."""

    mount: str
    arrival: ArrivalLine
    remarks: list[str]


def split_words(words: Sequence[str]) -> tuple[str, str | None]:
    """The name, and behind it the landing or offset, of what was typed: `alf Lyr 3E 2N`.

    Raises UnreadableOffset where the words behind a name were surely meant as an offset and are none.
    """
    for cut in range(1, len(words)):
        tail = " ".join(words[cut:])
        if _is_where(tail):
            return " ".join(words[:cut]), tail
    name = " ".join(words)
    if not target_named(name).known:
        for cut in range(1, len(words)):
            if looks_like_offset(" ".join(words[cut:])):
                raise UnreadableOffset(" ".join(words[cut:]), "it names no direction N, S, E or W")
    return name, None


def _is_where(text: str) -> bool:
    if text.lower() in LANDINGS:
        return True
    try:
        read_offset(text)
    except UnreadableOffset:
        return False
    return True


def record_arrival(
    database: Database, role: Role, seen: Seen, choice: SetupChoice, now: datetime, *, sure: bool = False
) -> Recorded:
    """Put an arrival on record in the set-up that was chosen, or the open one; `sure` takes what is questioned.

    Raises NoOpenSetup, WhichOne, what reading times and offsets raises, OutOfRange, UnusableText, AlreadyRecorded, and
    Doubtful: of an object that was below the horizon, or a time before the set-up began.
    """
    target = target_named(written(seen.target or "", "The target", LONGEST_TARGET))
    with database.write(now, f"{role} {target.name}") as session:
        where = chosen_setup(session, choice)
        at_utc = instant_in_night(seen.at, where.night, where.site, now)
        arrival = Arrival(
            setup_id=where.setup.id,
            at_utc=at_utc,
            role=role,
            target=target.name,
            member_id=where.setup.member_id,
        )
        _apply(session, arrival, replace(seen, at=None), target, where)
        if not sure:
            _question(arrival, target, where)
        if twin := _same(session, arrival):
            raise AlreadyRecorded(role, target.name, _numbered(session, twin, where))
        session.add(arrival)
        session.flush()
        return Recorded(where.mount.name, _numbered(session, arrival, where), _remarks(target, seen))


def edit_arrival(
    database: Database,
    number: int | None,
    seen: Seen,
    choice: SetupChoice,
    now: datetime,
    *,
    sure: bool = False,
) -> Recorded:
    """Put a typing slip right in the arrival of that number, or in the last one that was typed in.

    Raises NoSuchArrival, NothingToChange, and what recording raises.
    """
    if seen == Seen():
        raise NothingToChange("the arrival")
    with database.write(now, f"edit arrival {number or ''}".strip()) as session:
        where = chosen_setup(session, choice, or_newest=True)
        arrival = _of_number(session, number, where)
        target = target_named(arrival.target)
        if seen.target is not None:
            target = target_named(written(seen.target, "The target", LONGEST_TARGET))
            arrival.target, arrival.ra_hours, arrival.dec_deg = target.name, None, None
        if seen.at is not None:
            arrival.at_utc = instant_in_night(seen.at, where.night, where.site, now)
        arrival.role = seen.role or arrival.role
        with session.no_autoflush:
            _apply(session, arrival, seen, target, where)
            if not sure and (seen.at is not None or seen.target is not None or seen.ra_hours is not None):
                _question(arrival, target, where)
            if twin := _same(session, arrival):
                raise AlreadyRecorded(arrival.role, arrival.target, _numbered(session, twin, where))
        session.flush()
        return Recorded(where.mount.name, _numbered(session, arrival, where), _remarks(target, seen))


def remove_arrival(
    database: Database, number: int | None, choice: SetupChoice, now: datetime
) -> tuple[str, ArrivalLine]:
    """Take an arrival off the record, that of the number or the last one typed in: the mount's name, and what it said.

    Raises NoSuchArrival, NoOpenSetup, WhichOne.
    """
    with database.write(now, f"remove arrival {number or ''}".strip()) as session:
        where = chosen_setup(session, choice, or_newest=True)
        arrival = _of_number(session, number, where)
        line = _numbered(session, arrival, where)
        session.delete(arrival)
        return where.mount.name, line


def _of_number(session: Session, number: int | None, where: Where) -> Arrival:
    in_order = arrivals_in_order(session, where.setup.id)
    if number is None and in_order:
        return max(in_order, key=lambda arrival: arrival.id)
    if number is not None and 1 <= number <= len(in_order):
        return in_order[number - 1]
    raise NoSuchArrival(number or 1, len(in_order))


def _question(arrival: Arrival, target: Target, where: Where) -> None:
    """Raises Doubtful where the time or the target is a likely slip."""
    if arrival.ra_hours is not None:
        target = replace(target, ra_hours=arrival.ra_hours, dec_deg=arrival.dec_deg)
    question_time(arrival.at_utc, where.setup, where.site)
    question_altitude(target, arrival.at_utc, where.site)


def _apply(session: Session, arrival: Arrival, seen: Seen, target: Target, where: Where) -> None:
    """Write onto the arrival what was said, in the units of the record."""
    _check(seen)
    for column, value in _given(session, arrival, seen, where).items():
        setattr(arrival, column, value)
    if seen.where is None:
        return
    arrival.landing, arrival.offset_east_arcmin, arrival.offset_north_arcmin = None, None, None
    if seen.where.lower() in LANDINGS:
        arrival.landing = Landing(seen.where.lower())
        return
    offset = read_offset(seen.where)
    if offset.uses_centring_time and where.mount.mount_type == MountType.ALTAZ:
        raise KeysMoveOtherwise(where.mount.name)
    dec_deg = arrival.dec_deg if arrival.dec_deg is not None else target.dec_deg
    east, north = offset.in_arcmin(arrival.field_arcmin, dec_deg, target.name)
    for part in (east, north):
        if not abs(part) <= FARTHEST_ARCMIN:
            raise OutOfRange("The offset", f"{abs(part):g}", 0, FARTHEST_ARCMIN, "arcminutes")
    arrival.offset_east_arcmin, arrival.offset_north_arcmin = round(east, 3), round(north, 3)


def _given(session: Session, arrival: Arrival, seen: Seen, where: Where) -> dict[str, Any]:
    """The columns that were said; a note that is nothing takes the old one away."""
    given: dict[str, Any] = {
        "pier_side": seen.pier_side,
        "centring_arcmin": seen.centring_arcmin,
        "note": written(seen.note, "The note") if seen.note else None,
        "ra_hours": None if seen.ra_hours is None else seen.ra_hours % 24,
        "dec_deg": seen.dec_deg,
        "member_id": key_of(session, Member, seen.observer),
    }
    if seen.field_arcmin is not None:
        given["field_arcmin"] = seen.field_arcmin
    elif seen.eyepiece is not None or arrival.field_arcmin is None:
        given["field_arcmin"] = field_in_use_arcmin(session, where.setup, seen.eyepiece)
    said = {column: value for column, value in given.items() if value is not None}
    return said | {"note": None} if seen.note == "" else said


def _check(seen: Seen) -> None:
    limits: list[tuple[str, float | None, float, float, str]] = [
        ("The field", seen.field_arcmin, 0.1, FARTHEST_ARCMIN, "arcminutes"),
        ("The centring error", seen.centring_arcmin, 0, FARTHEST_ARCMIN, "arcminutes"),
        ("The right ascension", seen.ra_hours, 0, 24, "hours"),
        ("The declination", seen.dec_deg, -90, 90, "degrees"),
    ]
    for what, value, low, high, unit in limits:
        if value is not None and not low <= value <= high:
            raise OutOfRange(what, value, low, high, unit)
    if (seen.ra_hours is None) != (seen.dec_deg is None):
        raise WrongInput("A place needs both its coordinates.", "Give --ra HOURS and --dec DEG together.")


def _same(session: Session, arrival: Arrival) -> Arrival | None:
    return session.scalar(
        select(Arrival).where(
            Arrival.setup_id == arrival.setup_id,
            Arrival.at_utc == arrival.at_utc,
            Arrival.role == arrival.role,
            Arrival.target == arrival.target,
            Arrival.id != arrival.id,
        )
    )


def _numbered(session: Session, arrival: Arrival, where: Where) -> ArrivalLine:
    in_order = [other.id for other in arrivals_in_order(session, where.setup.id)]
    return arrival_line(in_order.index(arrival.id) + 1, arrival, where)


def _remarks(target: Target, seen: Seen) -> list[str]:
    if target.name == Body.SUN:
        return [SUN_CAUTION]
    if target.known or seen.ra_hours is not None:
        return []
    near = (
        f" Did you mean {' or '.join(target.nearest)}? Then: obslog edit --target NAME"
        if target.nearest
        else ""
    )
    return [f"{target.name} is no star or object known here; kept as written.{near}"]
