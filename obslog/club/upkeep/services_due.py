"""Services that are due: by date, by nights of use, by the schedule, by a battery's test, or when something is so.

What a service says of the next stands until a later service of the item says otherwise, or is done when the next was
due. A service in between that says nothing, such as a new fuse, changes nothing.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.rule_book import rules_in_force
from obslog.club.routine.service_routine import ServiceRoutine, routine_in_force
from obslog.club.upkeep.nights_of_use import nights_after, nights_last_year, nights_of_use
from obslog.club.upkeep.task_states import Done, TaskState, capacities, due_since, state_of, tasks_done
from obslog.english import counted
from obslog.records.database import Database
from obslog.records.tables.lending import Absence
from obslog.records.tables.logbook_tables import Equipment, Item, Service
from obslog.records.tables.storeroom import ServiceBill


class DueBy(StrEnum):
    """By what a service is due."""

    DATE = "date"
    NIGHTS = "nights"
    ROUTINE = "routine"
    BATTERY = "battery"
    CONDITION = "condition"


@dataclass(frozen=True, slots=True, kw_only=True)
class DueService:
    """A service that is due. `due_on` is None where no day can be named; by a condition it is due when that is so."""

    name: str
    kind: str
    basis: DueBy
    due_on: date | None
    words: str
    last_on: date | None
    nights_last_year: int = 0


@dataclass(frozen=True, slots=True)
class _Item:
    id: UUID
    name: str
    kind: str
    sort: str | None


def list_due(database: Database, today: date, within_days: int = 0) -> list[DueService]:
    """Everything in use that is due by then: what affects the most nights of use first, conditions last."""
    with database.read() as session:
        found = due_of(session, None, today, within_days)
    listed = [due for dues in found.values() for due in dues]
    return sorted(
        listed,
        key=lambda due: (
            due.basis is DueBy.CONDITION,
            -due.nights_last_year,
            due.due_on or date.min,
            due.name,
        ),
    )


def due_of(
    session: Session, only: Collection[UUID] | None, today: date, within_days: int = 0
) -> dict[UUID, list[DueService]]:
    """What is due of each item that is neither retired nor missing, by its key; of those asked for, or of all."""
    items = _items(session, only)
    keys = None if only is None else list(items)
    horizon = today + timedelta(days=within_days)
    nights, yearly = nights_of_use(session, keys), nights_last_year(session, today)
    pending, done = _pending(session, keys, nights), tasks_done(session, keys)
    capacity = capacities(session, keys)
    fewest_percent = rules_in_force(session)["battery-percent"]
    routine = _ByRoutine(routine_in_force(session), today, horizon)
    found: dict[UUID, list[DueService]] = {}
    for key, item in items.items():
        dues = [
            *_by_bill(item, pending.get(key), nights.get(key, []), today, horizon),
            *routine.due(item, done.get(key, {}), nights.get(key, []), pending.get(key)),
            *_by_battery(item, capacity.get(key), fewest_percent),
        ]
        if dues:
            found[key] = [replace(due, nights_last_year=yearly.get(key, 0)) for due in dues]
    return found


def _items(session: Session, only: Collection[UUID] | None) -> dict[UUID, _Item]:
    sorts = Item.__table__.c
    missing = select(Absence.equipment_id).where(Absence.found_on.is_(None))
    query = (
        select(Equipment.id, Equipment.name, Equipment.kind, sorts.sort)
        .outerjoin(Item.__table__, sorts.id == Equipment.id)
        .where(Equipment.retired_on.is_(None), Equipment.id.not_in(missing))
        .order_by(Equipment.name_key)
    )
    if only is not None:
        query = query.where(Equipment.id.in_(only))
    return {row[0]: _Item(*row) for row in session.execute(query)}


_Pending = tuple[Service, ServiceBill]


def _pending(
    session: Session, keys: Sequence[UUID] | None, nights: Mapping[UUID, list[date]]
) -> dict[UUID, _Pending]:
    """The service of each item whose word on the next one stands."""
    query = (
        select(Service, ServiceBill)
        .outerjoin(ServiceBill, ServiceBill.service_id == Service.id)
        .order_by(Service.done_on, Service.id)
    )
    if keys is not None:
        query = query.where(Service.equipment_id.in_(keys))
    found: dict[UUID, _Pending] = {}
    for service, bill in session.execute(query):
        key = service.equipment_id
        if bill is not None and (bill.next_on or bill.next_after_nights or bill.next_when):
            found[key] = (service, bill)
        elif key in found and _was_due(*found[key], nights.get(key, []), service.done_on):
            del found[key]
    return found


def _was_due(last: Service, bill: ServiceBill, nights: list[date], day: date) -> bool:
    used = nights_after(nights, last.done_on) - nights_after(nights, day)
    by_date = bill.next_on is not None and bill.next_on <= day
    return by_date or (bill.next_after_nights is not None and used >= bill.next_after_nights)


def _by_bill(
    item: _Item, pending: _Pending | None, nights: list[date], today: date, horizon: date
) -> Iterator[DueService]:
    if pending is None:
        return
    last, bill = pending
    done = last.done_on
    if bill.next_on is not None and bill.next_on <= horizon:
        verb = "was" if bill.next_on < today else "is"
        words = f"service {verb} due on {bill.next_on}; the last was on {done}: {last.text}"
        yield _due(item, DueBy.DATE, bill.next_on, words, done)
    used = nights_after(nights, done)
    if bill.next_after_nights is not None and used >= bill.next_after_nights:
        after = counted(bill.next_after_nights, "night")
        words = f"service is due after {after} of use; it has been used on {used} since {done}"
        yield _due(item, DueBy.NIGHTS, None, words, done)
    if bill.next_when is not None:
        words = f"service is due when {bill.next_when}; the last was on {done}"
        yield _due(item, DueBy.CONDITION, None, words, done)


@dataclass(frozen=True, slots=True)
class _ByRoutine:
    """What is due by the routine in force."""

    routine: ServiceRoutine
    today: date
    horizon: date

    def due(
        self, item: _Item, done: Mapping[str, Done], nights: list[date], pending: _Pending | None
    ) -> Iterator[DueService]:
        """Only tasks that were done before: where none was ever noted, it is not known when it is due.

        A service that did a task and says itself when the next is due comes before the schedule.
        """
        for task in self.routine.of(item.kind, item.sort):
            last = done.get(task.task)
            state = state_of(task, last, nights, self.horizon)
            said_itself = pending is not None and last is not None and last[1] == pending[0].id
            if state.due and not said_itself:
                yield _due(item, DueBy.ROUTINE, state.due_on, self._words(state, nights), state.last_on)

    def _words(self, state: TaskState, nights: list[date]) -> str:
        task = state.task
        if not self.routine.own or state.last_on is None:
            return (
                f"{task.task!r} of the schedule ({task.interval}) is due; it was last done on {state.last_on}"
            )
        since = due_since(state, nights)
        when = f"due since {since}" if since <= self.today else f"due on {since}"
        used = (
            ""
            if state.nights_since is None
            else f", and used on {counted(state.nights_since, 'night')} since"
        )
        last = f"it was last done on {state.last_on}{used}"
        return f"{task.task!r} of the club's routine is {when}, {task.interval}; {last}"


def _by_battery(item: _Item, last: tuple[date, float] | None, fewest_percent: float) -> Iterator[DueService]:
    if last is not None and last[1] < fewest_percent:
        words = (
            f"replace it: {last[1]:g} % of its capacity on {last[0]}, under the club's {fewest_percent:g} %"
        )
        yield _due(item, DueBy.BATTERY, last[0], words, last[0])


def _due(item: _Item, basis: DueBy, due_on: date | None, words: str, last_on: date | None) -> DueService:
    return DueService(
        name=item.name, kind=item.kind, basis=basis, due_on=due_on, words=words, last_on=last_on
    )
