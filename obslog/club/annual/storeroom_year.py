"""What the annual report reads of the store-room: every item and kit with its days, in a few statements.

An item is on record from the day it was acquired, or the earliest day that anything tells of it, whichever is first.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from uuid import UUID

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.annual.report_records import Period
from obslog.club.register.club_day import days_of
from obslog.club.storeroom.custody import Custody, state_of
from obslog.club.upkeep.nights_of_use import nights_of_use
from obslog.club.upkeep.utilisation import Life, Span
from obslog.records.history.reading import first_added
from obslog.records.tables.lending import Absence, Kit, KitPart, Loan, LoanPart
from obslog.records.tables.logbook_tables import Equipment, Service
from obslog.records.tables.storeroom import Paper, Retirement
from obslog.vocabulary.storeroom import Acquired

Earliest = dict[UUID, date]


@dataclass(frozen=True, slots=True, kw_only=True)
class Owned:
    """An item or kit on record: its life, its use in the period, where it is now, and its papers."""

    name: str
    kind: str
    life: Life
    loans_begun: int
    nights: int
    now: Custody
    acquired_on: date | None = None
    acquired: Acquired | None = None
    cost: float | None = None
    value: float | None = None

    @property
    def in_use(self) -> bool:
        """Neither retired nor written off, today."""
        return self.now.in_use


@dataclass(frozen=True, slots=True)
class Storeroom:
    """Items and kits by name, and the parts of kits that are only labels and were not found."""

    items: list[Owned]
    kits: list[Owned]
    missing_labels: list["MissingLabel"] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class MissingLabel:
    """A label with the name of its kit; given up when it was taken out of that, or that was retired."""

    name: str
    since: date
    given_up_on: date | None


def read_storeroom(session: Session, period: Period) -> Storeroom:
    """Everything that the club has or had."""
    # Members are counted by their names, and named only where asked.
    state = state_of(session, with_names=True)
    return Storeroom(
        _items(session, period, state),
        _kits(session, period, state),
        _missing_labels(session),
    )


def _missing_labels(session: Session) -> list[MissingLabel]:
    query = (
        select(Kit.name, Kit.retired_on, KitPart.label, KitPart.missing_since, KitPart.left_on)
        .join(Kit, KitPart.kit_id == Kit.id)
        .where(KitPart.missing_since.is_not(None))
        .order_by(Kit.name_key, KitPart.id)
    )
    return [
        MissingLabel(f"{kit}: {label}", since, _earliest([left_on, retired_on]))
        for kit, retired_on, label, since, left_on in session.execute(query)
        if since is not None
    ]


def _items(session: Session, period: Period, state: Mapping[UUID, Custody]) -> list[Owned]:
    loans, absences, since = _loans_of_items(session), _absences(session), _first_mentions(session)
    retired_once = _times_retired(session)
    nights = nights_of_use(session)
    _keep_earliest(since, [(key, used[0]) for key, used in nights.items()])
    query = (
        select(Equipment.id, Equipment.name, Equipment.kind, Paper)
        .outerjoin(Paper, Paper.equipment_id == Equipment.id)
        .order_by(Equipment.kind, Equipment.name_key)
    )
    found = []
    for key, name, kind, paper in session.execute(query):
        known: Paper = paper or Paper(equipment_id=key)
        now, spans = state[key], loans.get(key, [])
        begun = _earliest([known.acquired_on, since.get(key), *(out for out, _ in spans)])
        gone = _earliest([now.retired_on, now.written_off_on])
        retired: list[Span] = [*retired_once.get(key, []), *([(gone, None)] if gone else [])]
        found.append(
            Owned(
                name=name,
                kind=kind,
                life=Life(begun, spans, absences.get(key, []), retired),
                loans_begun=sum(period.holds(out) for out, _ in spans),
                nights=sum(map(period.holds, nights.get(key, ()))),
                now=now,
                acquired_on=known.acquired_on,
                acquired=known.acquired,
                cost=known.cost,
                value=known.value,
            )
        )
    return found


def _kits(session: Session, period: Period, state: Mapping[UUID, Custody]) -> list[Owned]:
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
        found.append(
            Owned(
                name=kit.name,
                kind="kit",
                life=life,
                loans_begun=sum(period.holds(out) for out, _ in spans),
                nights=0,
                now=state[kit.id],
            )
        )
    return found


def _loans_of_items(session: Session) -> Mapping[UUID, list[Span]]:
    """When each item was out, alone or within a kit."""
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


def _absences(session: Session) -> Mapping[UUID, list[Span]]:
    found: dict[UUID, list[Span]] = {}
    query = select(Absence.equipment_id, Absence.since, Absence.found_on).order_by(Absence.since)
    for key, since, found_on in session.execute(query):
        found.setdefault(key, []).append((since, found_on))
    return found


def _times_retired(session: Session) -> Mapping[UUID, list[Span]]:
    """When each item and kit was retired and in use again, by its key."""
    found: dict[UUID, list[Span]] = {}
    for past in session.scalars(select(Retirement).order_by(Retirement.retired_on)):
        key = past.equipment_id or past.kit_id
        if key is not None:
            found.setdefault(key, []).append((past.retired_on, past.back_on))
    return found


def _first_mentions(session: Session) -> Earliest:
    """The first day that each item was put on record, belonged to a kit, or was serviced."""
    found: Earliest = {}
    _keep_earliest(found, _added(session, Equipment))
    joined = select(KitPart.equipment_id, func.min(KitPart.joined_on)).group_by(KitPart.equipment_id)
    _keep_earliest(found, session.execute(joined).all())
    done = select(Service.equipment_id, func.min(Service.done_on)).group_by(Service.equipment_id)
    _keep_earliest(found, session.execute(done).all())
    return found


def _added(session: Session, table: type[Equipment] | type[Kit]) -> list[tuple[UUID, date]]:
    """On which day the act of adding each record was written down."""
    day_of = days_of(session)
    kinds = [mapped.__name__ for mapped in (table, *table.__subclasses__())]
    return [(key, day_of(at)) for key, at in first_added(session, kinds).items()]


def _keep_earliest(found: Earliest, rows: Iterable[tuple[UUID | None, date | None]]) -> None:
    for key, day in rows:
        if key is not None and day is not None:
            found[key] = min(day, found.get(key, day))


def _earliest(days: Iterable[date | None]) -> date | None:
    return min((day for day in days if day is not None), default=None)
