"""Services that are due: by date, by nights of use, by the schedule, by a battery's test, or when something is so.

What a service says of the next stands until a later service of the item says otherwise, or is done when the next was
due. A service in between that says nothing, such as a new fuse, changes nothing.
"""

from bisect import bisect_right
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from enum import StrEnum
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.rule_book import rules_in_force
from obslog.club.register.things import thing_named
from obslog.club.routine.service_routine import RoutineTask, ServiceRoutine, routine_in_force
from obslog.club.upkeep.nights_of_use import nights_after, nights_last_year, nights_of_use
from obslog.records.opening import Database
from obslog.records.tables.lending import Absence
from obslog.records.tables.logbook_tables import Equipment, Item, Service
from obslog.records.tables.storeroom import BatteryTest, ServiceBill, ServiceTask
from obslog.times import months_later
from obslog.vocabulary import counted

CAPACITY_TASK = "capacity"


class Basis(StrEnum):
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
    basis: Basis
    due_on: date | None
    words: str
    last_on: date | None
    nights_last_year: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskState:
    """A task of the schedule for one item: when it was last done, and when it is due; None where that is not known."""

    task: RoutineTask
    last_on: date | None
    due_on: date | None
    nights_since: int | None
    due: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """Tasks of kinds; or where an item was named, the state of each of its tasks."""

    name: str | None
    tasks: list[RoutineTask] = field(default_factory=list)
    states: list[TaskState] = field(default_factory=list)


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
            due.basis is Basis.CONDITION,
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
    pending, done = _pending(session, keys, nights), _tasks_done(session, keys)
    capacity = _capacities(session, keys)
    fewest_percent = rules_in_force(session)["battery-percent"]
    routine = _ByRoutine(routine_in_force(session), today, horizon)
    found: dict[UUID, list[DueService]] = {}
    for key, item in items.items():
        dues = [
            *_by_bill(item, pending.get(key), nights.get(key, []), horizon),
            *routine.due(item, done.get(key, {}), nights.get(key, []), pending.get(key)),
            *_by_battery(item, capacity.get(key), fewest_percent),
        ]
        if dues:
            found[key] = [replace(due, nights_last_year=yearly.get(key, 0)) for due in dues]
    return found


def schedule(database: Database, what: str | None, today: date) -> Schedule:
    """The tasks of all kinds, or of the kind of that name, or else of the item. Raises UnknownName, WhichKind."""
    with database.read() as session:
        routine = routine_in_force(session)
        if what is None:
            return Schedule(name=None, tasks=list(routine.tasks))
        kind = what.strip().casefold()
        if kind in routine.groups():
            return Schedule(name=None, tasks=[task for task in routine.tasks if task.of == kind])
        item = thing_named(session, what)
        return Schedule(name=item.name, states=routine_of(session, item, today))


def routine_of(session: Session, item: Equipment, today: date) -> list[TaskState]:
    """Each task of the schedule for an item: when it was last done, and whether it is due."""
    sort = session.scalar(select(Item.sort).where(Item.id == item.id)) if item.kind == "item" else None
    done = _tasks_done(session, [item.id]).get(item.id, {})
    nights = nights_of_use(session, [item.id]).get(item.id, [])
    return [
        _state(task, done.get(task.task), nights, today)
        for task in routine_in_force(session).of(item.kind, sort)
    ]


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
_Done = tuple[date, UUID | None]


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
    item: _Item, pending: _Pending | None, nights: list[date], horizon: date
) -> Iterator[DueService]:
    if pending is None:
        return
    last, bill = pending
    done = last.done_on
    if bill.next_on is not None and bill.next_on <= horizon:
        words = f"service is due on {bill.next_on}; the last was on {done}: {last.text}"
        yield _due(item, Basis.DATE, bill.next_on, words, done)
    used = nights_after(nights, done)
    if bill.next_after_nights is not None and used >= bill.next_after_nights:
        after = counted(bill.next_after_nights, "night")
        words = f"service is due after {after} of use; it has been used on {used} since {done}"
        yield _due(item, Basis.NIGHTS, None, words, done)
    if bill.next_when is not None:
        words = f"service is due when {bill.next_when}; the last was on {done}"
        yield _due(item, Basis.CONDITION, None, words, done)


@dataclass(frozen=True, slots=True)
class _ByRoutine:
    """What is due by the routine in force."""

    routine: ServiceRoutine
    today: date
    horizon: date

    def due(
        self, item: _Item, done: Mapping[str, _Done], nights: list[date], pending: _Pending | None
    ) -> Iterator[DueService]:
        """Only tasks that were done before: where none was ever noted, it is not known when it is due.

        A service that did a task and says itself when the next is due comes before the schedule.
        """
        for task in self.routine.of(item.kind, item.sort):
            last = done.get(task.task)
            state = _state(task, last, nights, self.horizon)
            said_itself = pending is not None and last is not None and last[1] == pending[0].id
            if state.due and not said_itself:
                yield _due(item, Basis.ROUTINE, state.due_on, self._words(state, nights), state.last_on)

    def _words(self, state: TaskState, nights: list[date]) -> str:
        task = state.task
        if not self.routine.own or state.last_on is None:
            return (
                f"{task.task!r} of the schedule ({task.interval}) is due; it was last done on {state.last_on}"
            )
        since = _due_since(state, nights)
        when = f"due since {since}" if since <= self.today else f"due on {since}"
        used = (
            ""
            if state.nights_since is None
            else f", and used on {counted(state.nights_since, 'night')} since"
        )
        last = f"it was last done on {state.last_on}{used}"
        return f"{task.task!r} of the club's routine is {when}, {task.interval}; {last}"


def _due_since(state: TaskState, nights: list[date]) -> date:
    """The day on which a task that was done before and is due became so: by the calendar, or by its nights of use."""
    days = [] if state.due_on is None else [state.due_on]
    every, last_on = state.task.every_nights, state.last_on
    if every is not None and last_on is not None:
        days += nights[bisect_right(nights, last_on) :][every - 1 : every]
    return min(days)


def _by_battery(item: _Item, last: tuple[date, float] | None, fewest_percent: float) -> Iterator[DueService]:
    if last is not None and last[1] < fewest_percent:
        words = (
            f"replace it: {last[1]:g} % of its capacity on {last[0]}, under the club's {fewest_percent:g} %"
        )
        yield _due(item, Basis.BATTERY, last[0], words, last[0])


def _state(task: RoutineTask, last: _Done | None, nights: list[date], horizon: date) -> TaskState:
    last_on = last[0] if last else None
    due_on = since = None
    due = False
    if last_on is not None and task.every_months is not None:
        due_on = months_later(last_on, task.every_months)
        due = due_on <= horizon
    if last_on is not None and task.every_nights is not None:
        since = nights_after(nights, last_on)
        due = due or since >= task.every_nights
    return TaskState(task=task, last_on=last_on, due_on=due_on, nights_since=since, due=due)


def _tasks_done(session: Session, keys: Sequence[UUID] | None) -> dict[UUID, dict[str, _Done]]:
    """When each task of each item was last noted, and by which service; a battery's test is one without a service."""
    query = (
        select(Service.equipment_id, ServiceTask.task, Service.done_on, Service.id)
        .join(Service, ServiceTask.service_id == Service.id)
        .order_by(Service.done_on, Service.id)
    )
    if keys is not None:
        query = query.where(Service.equipment_id.in_(keys))
    found: dict[UUID, dict[str, _Done]] = {}
    for key, task, day, service in session.execute(query):
        found.setdefault(key, {})[task] = (day, service)
    for key, (day, _) in _capacities(session, keys).items():
        tasks = found.setdefault(key, {})
        if CAPACITY_TASK not in tasks or tasks[CAPACITY_TASK][0] < day:
            tasks[CAPACITY_TASK] = (day, None)
    return found


def _capacities(session: Session, keys: Sequence[UUID] | None) -> dict[UUID, tuple[date, float]]:
    """The last test of each battery that measured its capacity."""
    query = (
        select(BatteryTest.equipment_id, BatteryTest.tested_on, BatteryTest.capacity_percent)
        .where(BatteryTest.capacity_percent.is_not(None))
        .order_by(BatteryTest.tested_on, BatteryTest.id)
    )
    if keys is not None:
        query = query.where(BatteryTest.equipment_id.in_(keys))
    return {key: (day, percent) for key, day, percent in session.execute(query) if percent is not None}


def _due(item: _Item, basis: Basis, due_on: date | None, words: str, last_on: date | None) -> DueService:
    return DueService(
        name=item.name, kind=item.kind, basis=basis, due_on=due_on, words=words, last_on=last_on
    )
