"""The maintenance schedule: what is done to each kind of item and how often; the club's own, or the one that ships."""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.english import with_article
from obslog.errors import WrongInput
from obslog.records.tables.officer import ClubTask

FILE = Path(__file__).with_name("service_routine.toml")
COMMON_PRACTICE = "common practice"
THE_CLUBS_OWN = "the club's own"


class NoSuchTask(WrongInput):
    def __init__(self, word: str, of: str, known: Sequence[str]) -> None:
        there = f"It has {', '.join(known)}" if known else "It has none"
        super().__init__(
            f"The maintenance schedule of {with_article(of)} has no task {word!r}.",
            f"{there}; see: obslog service routine",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class RoutineTask:
    """A task for a kind of item: due again after months or nights, what comes first, or `when` something is so."""

    of: str
    task: str
    do: str
    every_months: int | None = None
    every_nights: int | None = None
    when: str | None = None
    caution: str | None = None
    source: str = COMMON_PRACTICE

    @property
    def interval(self) -> str:
        """How often, in words: what comes first counts."""
        if self.when is not None:
            return f"when {self.when}"
        months, nights = self.every_months, self.every_nights
        ways = [
            *([] if months is None else ["month" if months == 1 else f"{months} months"]),
            *([] if nights is None else ["night" if nights == 1 else f"{nights} nights"]),
        ]
        return f"every {' or '.join(ways)}"


@lru_cache(maxsize=1)
def shipped_tasks() -> tuple[RoutineTask, ...]:
    """The tasks that ship, in the order of the file."""
    with FILE.open("rb") as file:
        return tuple(RoutineTask(**task) for task in tomllib.load(file)["task"])


@dataclass(frozen=True, slots=True)
class ServiceRoutine:
    """The tasks in force, in their order."""

    tasks: tuple[RoutineTask, ...]

    @property
    def own(self) -> bool:
        """Whether they are the club's own."""
        return self.tasks != shipped_tasks()

    def of(self, kind: str, sort: str | None) -> list[RoutineTask]:
        """The tasks for an item of that kind; of another item, those of its category."""
        of = (sort or "").strip().casefold() if kind == "item" else kind
        return [task for task in self.tasks if task.of == of]

    def groups(self) -> list[str]:
        """The kinds and categories that have a schedule, in order."""
        return list(dict.fromkeys(task.of for task in self.tasks))

    def checked(self, words: Sequence[str], kind: str, sort: str | None) -> list[str]:
        """The words as the schedule has them, each once. Raises NoSuchTask."""
        known = [task.task for task in self.of(kind, sort)]
        for word in words:
            if word.strip().casefold() not in known:
                raise NoSuchTask(word, sort or kind, known)
        return list(dict.fromkeys(word.strip().casefold() for word in words))


def routine_in_force(session: Session) -> ServiceRoutine:
    """The club's own tasks, or where it has none those that ship."""
    rows = session.scalars(select(ClubTask).order_by(ClubTask.place)).all()
    return ServiceRoutine(tuple(map(_task, rows)) or shipped_tasks())


def _task(row: ClubTask) -> RoutineTask:
    return RoutineTask(
        of=row.task_of,
        task=row.task,
        do=row.what_to_do,
        every_months=row.every_months,
        every_nights=row.every_nights,
        when=row.due_when,
        caution=row.caution,
        source=row.source or THE_CLUBS_OWN,
    )
