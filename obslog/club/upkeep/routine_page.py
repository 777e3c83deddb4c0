"""The routine as it is asked for: all of it, that of one kind, or of one thing with what of it is due."""

from dataclasses import dataclass, field
from datetime import date

from obslog.club.register.things import thing_named
from obslog.club.upkeep.service_routine import RoutineTask, groups, routine
from obslog.club.upkeep.services_due import TaskState, routine_of
from obslog.records.opening import Database


@dataclass(frozen=True, slots=True)
class RoutinePage:
    """Tasks of kinds; or where a thing was named, the state of each of its tasks."""

    name: str | None
    tasks: list[RoutineTask] = field(default_factory=list)
    states: list[TaskState] = field(default_factory=list)


def routine_page(database: Database, what: str | None, today: date) -> RoutinePage:
    """The tasks of all kinds, or of the kind of that name, or else of the thing. Raises UnknownName, WhichKind."""
    if what is None:
        return RoutinePage(None, list(routine()))
    kind = what.strip().casefold()
    if kind in groups():
        return RoutinePage(None, [task for task in routine() if task.of == kind])
    with database.read() as session:
        thing = thing_named(session, what)
        return RoutinePage(thing.name, states=routine_of(session, thing, today))
