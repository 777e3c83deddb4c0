"""The tasks of the schedule for an item: when each was last done, and when it is due."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.things import thing_named
from obslog.club.routine.service_routine import RoutineTask, routine_in_force
from obslog.club.upkeep.nights_of_use import nights_after, nights_of_use
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Equipment, Item, Service
from obslog.records.tables.storeroom import BatteryTest, ServiceTask
from obslog.times import months_later

CAPACITY_TASK = "capacity"
Done = tuple[date, UUID | None]
"""When a task was done, and by which service; a test of a battery is one without."""


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
    done = tasks_done(session, [item.id]).get(item.id, {})
    nights = nights_of_use(session, [item.id]).get(item.id, [])
    return [
        state_of(task, done.get(task.task), nights, today)
        for task in routine_in_force(session).of(item.kind, sort)
    ]


def state_of(task: RoutineTask, last: Done | None, nights: list[date], horizon: date) -> TaskState:
    """The state of a task, given when it was last done and the nights of use; due by the horizon."""
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


def due_since(state: TaskState, nights: list[date]) -> date:
    """The day on which a task that was done before and is due became so: by the calendar, or by its nights of use."""
    days = [] if state.due_on is None else [state.due_on]
    every, last_on = state.task.every_nights, state.last_on
    if every is not None and last_on is not None:
        days += nights[bisect_right(nights, last_on) :][every - 1 : every]
    return min(days)


def tasks_done(session: Session, keys: Sequence[UUID] | None) -> dict[UUID, dict[str, Done]]:
    """When each task of each item was last noted, and by which service; a battery's test is one without a service."""
    query = (
        select(Service.equipment_id, ServiceTask.task, Service.done_on, Service.id)
        .join(Service, ServiceTask.service_id == Service.id)
        .order_by(Service.done_on, Service.id)
    )
    if keys is not None:
        query = query.where(Service.equipment_id.in_(keys))
    found: dict[UUID, dict[str, Done]] = {}
    for key, task, day, service in session.execute(query):
        found.setdefault(key, {})[task] = (day, service)
    for key, (day, _) in capacities(session, keys).items():
        tasks = found.setdefault(key, {})
        if CAPACITY_TASK not in tasks or tasks[CAPACITY_TASK][0] < day:
            tasks[CAPACITY_TASK] = (day, None)
    return found


def capacities(session: Session, keys: Sequence[UUID] | None) -> dict[UUID, tuple[date, float]]:
    """The last test of each battery that measured its capacity."""
    query = (
        select(BatteryTest.equipment_id, BatteryTest.tested_on, BatteryTest.capacity_percent)
        .where(BatteryTest.capacity_percent.is_not(None))
        .order_by(BatteryTest.tested_on, BatteryTest.id)
    )
    if keys is not None:
        query = query.where(BatteryTest.equipment_id.in_(keys))
    return {key: (day, percent) for key, day, percent in session.execute(query) if percent is not None}
