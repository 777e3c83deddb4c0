"""What the annual report reads of the store-room: every thing and kit with its days, in a few statements.

A thing is on record from the day it was acquired, or the earliest day that anything tells of it, whichever is first.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from uuid import UUID

from sqlalchemy import case, func, select, union
from sqlalchemy.orm import Session

from obslog.club.annual.report_records import Period
from obslog.club.storeroom.utilisation import Life, Span
from obslog.records.tables.lending import Absence, Kit, KitPart, Loan, LoanPart
from obslog.records.tables.logbook_tables import (
    Act,
    Change,
    Equipment,
    Member,
    Night,
    Observation,
    Service,
    Setup,
)
from obslog.records.tables.storeroom import Paper, Retirement
from obslog.vocabulary import Acquired

Earliest = dict[UUID, date]


@dataclass(frozen=True, slots=True)
class Thing:
    """A thing or kit on record: its life, its use in the period, and its papers. `holder` has it now."""

    name: str
    kind: str
    life: Life
    loans_begun: int
    nights: int
    retired_on: date | None
    retired_why: str | None
    written_off_on: date | None = None
    acquired_on: date | None = None
    acquired: Acquired | None = None
    cost: float | None = None
    value: float | None = None
    place: str | None = None
    holder: str | None = None

    @property
    def in_use(self) -> bool:
        """Neither retired nor written off, today."""
        return all(again is not None for _, again in self.life.gone)


@dataclass(frozen=True, slots=True)
class Storeroom:
    """Things and kits by name, and the labels of kits that are missing: name of kit and label, since when."""

    things: list[Thing]
    kits: list[Thing]
    missing_labels: list[tuple[str, date]] = field(default_factory=list)


def read_storeroom(session: Session, period: Period) -> Storeroom:
    """Everything that the club has or had."""
    labels = (
        select(Kit.name, KitPart.label, KitPart.missing_since)
        .join(Kit, KitPart.kit_id == Kit.id)
        .where(KitPart.equipment_id.is_(None), KitPart.missing_since.is_not(None))
        .order_by(Kit.name_key, KitPart.id)
    )
    return Storeroom(
        _things(session, period),
        _kits(session, period),
        [(f"{kit}: {label}", since) for kit, label, since in session.execute(labels) if since],
    )


def _things(session: Session, period: Period) -> list[Thing]:
    loans, holder = _loans_of_things(session), _holders(session)
    absences, since = _absences(session), _first_mentions(session)
    retired_once = _times_retired(session)
    nights = _nights(session, period, since)
    query = (
        select(
            Equipment.id, Equipment.name, Equipment.kind, Equipment.retired_on, Equipment.retired_why, Paper
        )
        .outerjoin(Paper, Paper.equipment_id == Equipment.id)
        .order_by(Equipment.kind, Equipment.name_key)
    )
    found = []
    for key, name, kind, retired_on, why, paper in session.execute(query):
        known: Paper = paper or Paper(equipment_id=key)
        spans, away = loans.get(key, []), list(absences.get(key, []))
        if known.missing_since and all(back is not None for _, back in away):
            away.append((known.missing_since, None))
        begun = _earliest([known.acquired_on, since.get(key), *(out for out, _ in spans)])
        gone = _earliest([retired_on, known.written_off_on])
        life = Life(begun, spans, away, [*retired_once.get(key, []), *([(gone, None)] if gone else [])])
        lent = sum(period.holds(out) for out, _ in spans)
        found.append(
            Thing(
                name, kind, life, lent, nights.get(key, 0), retired_on, why, known.written_off_on,
                known.acquired_on, known.acquired, known.cost, known.value, known.place, holder.get(key),
            )
        )  # fmt: skip
    return found


def _kits(session: Session, period: Period) -> list[Thing]:
    loans: dict[UUID, list[Span]] = {}
    lent = select(Loan.kit_id, Loan.out_on, Loan.back_on).where(Loan.kit_id.is_not(None))
    for key, out, back in session.execute(lent):
        if key is not None:
            loans.setdefault(key, []).append((out, back))
    retired_once = _times_retired(session)
    since: Earliest = {}
    _keep_earliest(since, _added(session, Kit))
    joined = select(KitPart.kit_id, func.min(KitPart.joined_on)).group_by(KitPart.kit_id)
    _keep_earliest(since, session.execute(joined).all())
    found = []
    for kit in session.scalars(select(Kit).order_by(Kit.name_key)):
        spans = loans.get(kit.id, [])
        begun = _earliest([since.get(kit.id), *(out for out, _ in spans)])
        now_retired: list[Span] = [(kit.retired_on, None)] if kit.retired_on else []
        life = Life(begun, spans, gone=[*retired_once.get(kit.id, []), *now_retired])
        begun_now = sum(period.holds(out) for out, _ in spans)
        found.append(Thing(kit.name, "kit", life, begun_now, 0, kit.retired_on, kit.retired_why))
    return found


def _loans_of_things(session: Session) -> Mapping[UUID, list[Span]]:
    """When each thing was out, alone or within a kit."""
    query = (
        select(LoanPart.equipment_id, Loan.out_on, LoanPart.back_on)
        .join(Loan, LoanPart.loan_id == Loan.id)
        .where(LoanPart.equipment_id.is_not(None))
    )
    found: dict[UUID, list[Span]] = {}
    for key, out, back in session.execute(query):
        if key is not None:
            found.setdefault(key, []).append((out, back))
    return found


def _holders(session: Session) -> Mapping[UUID, str]:
    query = (
        select(LoanPart.equipment_id, Member.name)
        .join(Loan, LoanPart.loan_id == Loan.id)
        .join(Member, Loan.member_id == Member.id)
        .where(LoanPart.back_on.is_(None), LoanPart.equipment_id.is_not(None))
    )
    return {key: name for key, name in session.execute(query) if key is not None}


def _absences(session: Session) -> Mapping[UUID, list[Span]]:
    found: dict[UUID, list[Span]] = {}
    query = select(Absence.equipment_id, Absence.since, Absence.found_on).order_by(Absence.since)
    for key, since, found_on in session.execute(query):
        found.setdefault(key, []).append((since, found_on))
    return found


def _times_retired(session: Session) -> Mapping[UUID, list[Span]]:
    """When each thing and kit was retired and in use again, by its key."""
    found: dict[UUID, list[Span]] = {}
    for past in session.scalars(select(Retirement).order_by(Retirement.retired_on)):
        key = past.equipment_id or past.kit_id
        if key is not None:
            found.setdefault(key, []).append((past.retired_on, past.back_on))
    return found


def _first_mentions(session: Session) -> Earliest:
    """The first day that each thing was put on record, belonged to a kit, or was serviced."""
    found: Earliest = {}
    _keep_earliest(found, _added(session, Equipment))
    joined = select(KitPart.equipment_id, func.min(KitPart.joined_on)).group_by(KitPart.equipment_id)
    _keep_earliest(found, session.execute(joined).all())
    done = select(Service.equipment_id, func.min(Service.done_on)).group_by(Service.equipment_id)
    _keep_earliest(found, session.execute(done).all())
    return found


def _added(session: Session, table: type[Equipment] | type[Kit]) -> list[tuple[UUID, datetime]]:
    """When the act of adding each record was written down."""
    query = (
        select(table.id, func.min(Act.at_utc))
        .join(Change, Change.record_id == table.id)
        .join(Act, Change.act_id == Act.id)
        .where(Change.before.is_(None))
        .group_by(table.id)
    )
    return [(key, at_utc) for key, at_utc in session.execute(query)]


def _nights(session: Session, period: Period, since: Earliest) -> Mapping[UUID, int]:
    """On how many nights of the period each thing stood under the sky; its first night ever is kept in `since`."""
    used = union(
        select(Setup.mount_id.label("thing"), Setup.night_id.label("night")),
        select(Setup.tube_id, Setup.night_id).where(Setup.tube_id.is_not(None)),
        select(Setup.eyepiece_id, Setup.night_id).where(Setup.eyepiece_id.is_not(None)),
        select(Observation.eyepiece_id, Observation.night_id).where(Observation.eyepiece_id.is_not(None)),
    ).subquery()
    in_period = case((Night.night_of.between(period.first, period.last), 1))
    query = (
        select(used.c.thing, func.min(Night.night_of), func.count(in_period))
        .join(Night, used.c.night == Night.id)
        .group_by(used.c.thing)
    )
    rows = session.execute(query).all()
    _keep_earliest(since, [(key, first) for key, first, _ in rows])
    return {key: nights for key, _, nights in rows}


def _keep_earliest(found: Earliest, rows: Iterable[tuple[UUID | None, date | datetime | None]]) -> None:
    for key, told in rows:
        day = told.date() if isinstance(told, datetime) else told
        if key is not None and day is not None:
            found[key] = min(day, found.get(key, day))


def _earliest(days: Iterable[date | None]) -> date | None:
    return min((day for day in days if day is not None), default=None)
