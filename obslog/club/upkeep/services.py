"""Services: work done on an item. One that is mechanical starts the mount's mechanical history afresh."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.rule_book import currency_of
from obslog.club.register.things import thing_named
from obslog.club.register.typed_values import written
from obslog.club.routine.service_routine import routine_in_force
from obslog.club.upkeep.service_bills import NO_BILL, Bill, add_bill, checked_bill
from obslog.club.upkeep.work_orders import mend, snags_meant
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.name_lookup import member_here
from obslog.records.tables.keys import reference_of
from obslog.records.tables.logbook_tables import Equipment, Item, Member, Service
from obslog.records.tables.storeroom import MendedSnag, ServiceBill, ServiceTask
from obslog.times import not_a_future_date


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceLine:
    """Work done; the `next_...` say when the next is due, `mended` are the references of the snags that it mended."""

    kind: str
    name: str
    done_on: date
    text: str
    mechanical: bool
    by: str | None
    cost: float | None = None
    parts: str | None = None
    next_on: date | None = None
    next_after_nights: int | None = None
    next_when: str | None = None
    tasks: list[str] = field(default_factory=list)
    mended: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class ServiceList:
    """Services with the currency in which they were paid; None where the club has named none."""

    lines: list[ServiceLine]
    currency: str | None

    @classmethod
    def of(cls, database: Database, lines: list[ServiceLine]) -> "ServiceList":
        return cls(lines, currency_of(database))


def add_service(
    database: Database,
    kind: str | None,
    name: str,
    text: str,
    now: datetime,
    *,
    on: date,
    mechanical: bool = False,
    by: str | None = None,
    bill: Bill = NO_BILL,
    tasks: Sequence[str] = (),
    mends: Sequence[str] = (),
) -> ServiceLine:
    """Note work done on a mount, tube, eyepiece or item, with its bill and the tasks of the schedule that it did.

    `mends` are references of snags of that item, or steps: all its open snags at that step. They are mended by it.
    Raises FutureDate, UnusableText, NoSuchTask, and what thing_named, checked_bill and snags_meant raise.
    """
    text = written(text, "The service")
    not_a_future_date(on, now)
    with database.write(now, f"note a service of {name}") as session:
        item = thing_named(session, name, kind)
        call_act(session, f"note a service of {item.name}")
        bill = checked_bill(bill, item, on)
        sort = item.sort if isinstance(item, Item) else None
        tasks = routine_in_force(session).checked(tasks, item.kind, sort)
        snags = snags_meant(session, item, mends, on)
        doer = member_here(session, by) if by else None
        service = Service(
            equipment_id=item.id,
            done_on=on,
            text=text,
            mechanical=mechanical,
            member_id=doer.id if doer else None,
        )
        session.add(service)
        session.flush()
        add_bill(session, service, bill)
        session.add_all(ServiceTask(service_id=service.id, task=task) for task in tasks)
        mend(session, service, snags, now)
        session.flush()
        return _lines(session, service.id)[0]


def list_services(
    database: Database, *, name: str | None = None, kind: str | None = None
) -> list[ServiceLine]:
    """The services on record, the newest first; of one item where it is named."""
    with database.read() as session:
        item = thing_named(session, name, kind).id if name is not None else None
        return _lines(session, item=item)


def services_of(session: Session, item: UUID) -> list[ServiceLine]:
    """The services of one item, the newest first."""
    return _lines(session, item=item)


def _lines(session: Session, only: UUID | None = None, *, item: UUID | None = None) -> list[ServiceLine]:
    query = (
        select(Service, Equipment.kind, Equipment.name, Member.name, ServiceBill)
        .join(Equipment, Service.equipment_id == Equipment.id)
        .outerjoin(Member, Service.member_id == Member.id)
        .outerjoin(ServiceBill, ServiceBill.service_id == Service.id)
        .order_by(Service.done_on.desc(), Service.id.desc())
    )
    if only is not None:
        query = query.where(Service.id == only)
    if item is not None:
        query = query.where(Service.equipment_id == item)
    rows = session.execute(query).all()
    tasks, mended = _tasks(session), _mended(session)
    return [
        ServiceLine(
            kind=kind,
            name=name,
            done_on=done.done_on,
            text=done.text,
            mechanical=done.mechanical,
            by=by,
            cost=bill.cost if bill else None,
            parts=bill.parts if bill else None,
            next_on=bill.next_on if bill else None,
            next_after_nights=bill.next_after_nights if bill else None,
            next_when=bill.next_when if bill else None,
            tasks=tasks.get(done.id, []),
            mended=mended.get(done.id, []),
        )
        for done, kind, name, by, bill in rows
    ]


def _tasks(session: Session) -> dict[UUID, list[str]]:
    query = select(ServiceTask.service_id, ServiceTask.task).order_by(ServiceTask.id)
    return _by_service((service, task) for service, task in session.execute(query))


def _mended(session: Session) -> dict[UUID, list[str]]:
    query = select(MendedSnag.service_id, MendedSnag.snag_id).order_by(MendedSnag.id)
    return _by_service((service, reference_of(snag)) for service, snag in session.execute(query))


def _by_service(told: Iterable[tuple[UUID, str]]) -> dict[UUID, list[str]]:
    found: dict[UUID, list[str]] = {}
    for service, one in told:
        found.setdefault(service, []).append(one)
    return found
