"""Loading the club's file: looked at row by row, then put on record as one act, or not at all."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.register.rule_book import put_rule
from obslog.club.register.rule_table import RULES
from obslog.club.routine.club_routine import ClubRoutine, club_routine, shipped_routine
from obslog.club.routine.file_values import RoutineFault
from obslog.club.routine.loan_terms import SHIPPED_STATEMENTS, Terms
from obslog.club.routine.routine_changes import RoutineChange, StepsOnRecord, changes
from obslog.club.routine.routine_file import read_routine
from obslog.club.routine.routine_writing import written
from obslog.club.routine.service_routine import THE_CLUBS_OWN
from obslog.english import counted
from obslog.errors import WrongInput, quoted
from obslog.files.atomic_file import whole_file
from obslog.files.output_files import output_in_sentences
from obslog.records.database import Database
from obslog.records.tables.base import Base
from obslog.records.tables.logbook_tables import ClubStep, Snag, Tick
from obslog.records.tables.officer import ClubTask, ConditionWord, LoanTerms

LOAN_DAYS = "loan-days"
Rows = Mapping[tuple[Any, ...], dict[str, Any]]
"""The columns of rows, by what they are known by."""


class RoutineRefused(WrongInput):
    """The file has faults, so nothing of it was loaded; `details` names every one."""

    def __init__(self, name: str, faults: list[RoutineFault]) -> None:
        super().__init__(
            f"{name} has {counted(len(faults), 'fault')}, so nothing was changed.",
            f"Correct it, and look again: obslog rule look {quoted(name)}",
        )
        self.details = [str(fault) for fault in faults]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoutineLook:
    """What a file would change, or with `loaded` has changed, row by row; with any fault nothing."""

    file: str
    loaded: bool
    changes: list[RoutineChange]
    faults: list[RoutineFault]


def look_at_routine(database: Database, text: str, name: str) -> RoutineLook:
    """What loading would do; nothing is changed."""
    read = read_routine(text)
    with database.read() as session:
        rows = [] if read.faults else _changes(session, read.routine)
    return RoutineLook(file=name, loaded=False, changes=rows, faults=read.faults)


def load_routine(database: Database, text: str, name: str, now: datetime) -> RoutineLook:
    """Put the file in force, as one act. Raises RoutineRefused with every fault."""
    read = read_routine(text)
    if read.faults:
        raise RoutineRefused(name, read.faults)
    with database.write(now, "load the routine of the club") as session:
        rows = _changes(session, read.routine)
        put_in_force(session, read.routine)
    return RoutineLook(file=name, loaded=True, changes=rows, faults=[])


def write_routine(database: Database, file: Path, *, as_shipped: bool = False) -> None:
    """Write a file of the routine in force, or of what ships. Raises FileThere, and what the disk refuses."""
    with database.read() as session:
        text = written(shipped_routine() if as_shipped else club_routine(session))
    with output_in_sentences(file), whole_file(file) as draft:
        draft.write_text(text, encoding="utf-8", newline="\n")


def put_in_force(session: Session, routine: ClubRoutine) -> None:
    """Write a routine down; of a part that is as it ships nothing, so that it stays as it ships."""
    shipped = shipped_routine()
    _replace(session, ClubStep, ("step",), _steps(routine) if routine.steps != shipped.steps else {})
    _replace(
        session, ClubTask, ("task_of", "task"), _tasks(routine) if routine.tasks != shipped.tasks else {}
    )
    _replace(session, ConditionWord, ("word",), _words(routine) if routine.words != shipped.words else {})
    _replace(session, LoanTerms, ("place",), _terms(routine.terms))
    if routine.loan_days is not None:
        is_default = routine.loan_days == RULES[LOAN_DAYS].default
        put_rule(session, LOAN_DAYS, None if is_default else routine.loan_days)


def _changes(session: Session, routine: ClubRoutine) -> list[RoutineChange]:
    on_record = StepsOnRecord(
        *(
            dict(session.execute(select(table.step, func.count()).group_by(table.step)).all())
            for table in (Snag, Tick)
        )
    )
    return changes(club_routine(session), routine, on_record)


def _replace(session: Session, table: type[Base], key: tuple[str, ...], rows: Rows) -> None:
    """The rows, and no others. A row that stays is changed in its place, for its key may stand once."""
    left = dict(rows)
    for record in session.scalars(select(table)).all():
        columns = left.pop(tuple(getattr(record, name) for name in key), None)
        if columns is None:
            session.delete(record)
            continue
        for name, value in columns.items():
            if getattr(record, name) != value:
                setattr(record, name, value)
    session.add_all(table(**columns) for columns in left.values())
    session.flush()


def _steps(routine: ClubRoutine) -> Rows:
    return _keyed(
        ("step",),
        (
            {
                "place": place,
                "step": entry.step,
                "left_out": entry.left_out,
                "title": entry.title,
                "what_to_do": entry.do,
                "tolerance": entry.tolerance,
                "why": entry.why,
                "mounts": ",".join(entry.mounts) or None,
                "about_the_mount": entry.about_the_mount,
            }
            for place, entry in enumerate(routine.steps, 1)
        ),
    )


def _tasks(routine: ClubRoutine) -> Rows:
    return _keyed(
        ("task_of", "task"),
        (
            {
                "place": place,
                "task_of": task.of,
                "task": task.task,
                "what_to_do": task.do,
                "every_months": task.every_months,
                "every_nights": task.every_nights,
                "due_when": task.when,
                "caution": task.caution,
                "source": None if task.source == THE_CLUBS_OWN else task.source,
            }
            for place, task in enumerate(routine.tasks, 1)
        ),
    )


def _words(routine: ClubRoutine) -> Rows:
    return _keyed(
        ("word",),
        (
            {"place": place, "word": one.word, "means": one.means}
            for place, one in enumerate(routine.words, 1)
        ),
    )


def _terms(terms: Terms) -> Rows:
    if terms == Terms():
        return {}
    text = None if terms.statements == SHIPPED_STATEMENTS else "\n".join(terms.statements)
    return {(1,): {"place": 1, "text": text, "renewals": terms.renewals}}


def _keyed(key: tuple[str, ...], rows: Iterable[dict[str, Any]]) -> Rows:
    return {tuple(row[name] for name in key): row for row in rows}
