"""The maintenance schedule: what is done to each kind of item and how often, from a file that anybody can read."""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from obslog.errors import WrongInput
from obslog.vocabulary import with_article

FILE = Path(__file__).with_name("service_routine.toml")
COMMON_PRACTICE = "common practice"


class NoSuchTask(WrongInput):
    def __init__(self, word: str, of: str, known: Sequence[str]) -> None:
        there = f"It has {', '.join(known)}" if known else "It has none"
        super().__init__(
            f"The maintenance schedule of {with_article(of)} has no task {word!r}.",
            f"{there}; see: obslog service routine",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class RoutineTask:
    """A task for a kind of item: due again after months or nights, or `when` something is so."""

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
        """How often, in words."""
        if self.every_months is not None:
            return "every month" if self.every_months == 1 else f"every {self.every_months} months"
        if self.every_nights is not None:
            return f"every {self.every_nights} nights"
        return f"when {self.when}"


@lru_cache(maxsize=1)
def routine() -> tuple[RoutineTask, ...]:
    """All tasks in the order of the file."""
    with FILE.open("rb") as file:
        return tuple(RoutineTask(**task) for task in tomllib.load(file)["task"])


def tasks_of(kind: str, sort: str | None) -> list[RoutineTask]:
    """The tasks for an item of that kind; of another item, those of its category."""
    of = (sort or "").strip().casefold() if kind == "item" else kind
    return [task for task in routine() if task.of == of]


def groups() -> list[str]:
    """The kinds and categories that have a schedule, in the order of the file."""
    return list(dict.fromkeys(task.of for task in routine()))


def checked_tasks(words: Sequence[str], kind: str, sort: str | None) -> list[str]:
    """The words as the schedule has them, each once. Raises NoSuchTask."""
    known = [task.task for task in tasks_of(kind, sort)]
    for word in words:
        if word.strip().casefold() not in known:
            raise NoSuchTask(word, sort or kind, known)
    return list(dict.fromkeys(word.strip().casefold() for word in words))
