"""What a file would change of the routine that is in force, row by row."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from enum import StrEnum
from typing import TypeVar

from obslog.club.routine.club_routine import ClubRoutine
from obslog.club.routine.club_steps import StepEntry, Steps, own_title
from obslog.club.routine.condition_words import SAID
from obslog.club.routine.service_routine import RoutineTask
from obslog.english import counted
from obslog.vocabulary.steps import StepKey

R = TypeVar("R")
AS_OFTEN_AS_ASKED = "as often as asked"


class RowChange(StrEnum):
    """What becomes of a row."""

    NEW = "new"
    CHANGED = "changed"
    MOVED = "moved"
    LEFT_OUT = "left out"
    PUT_BACK = "put back"
    TAKEN_AWAY = "taken away"


@dataclass(frozen=True, slots=True, kw_only=True)
class RoutineChange:
    """A row that would change: in which part of the file, what it is, how it was and how it would be."""

    part: str
    name: str
    change: RowChange
    was: str | None = None
    becomes: str | None = None


@dataclass(frozen=True, slots=True)
class StepsOnRecord:
    """How many snags and ticks there are of each step."""

    snags: Mapping[StepKey, int]
    ticks: Mapping[StepKey, int]

    def words(self, step: StepKey) -> str | None:
        """What is on record of a step, and stays; None where nothing is."""
        snags, ticks = self.snags.get(step, 0), self.ticks.get(step, 0)
        told = [counted(snags, "snag")] if snags else []
        told += [counted(ticks, "tick")] if ticks else []
        if not told:
            return None
        return f"{' and '.join(told)} on record still {'counts' if snags + ticks == 1 else 'count'}"


def changes(before: ClubRoutine, after: ClubRoutine, on_record: StepsOnRecord) -> list[RoutineChange]:
    """Every row that differs, part by part."""
    return [
        *_steps(before, after, on_record),
        *_rows(
            "conditions",
            {one.word: one for one in before.words},
            {one.word: one for one in after.words},
            lambda one: [SAID[one.means]],
        ),
        *_loan(before, after),
        *_rows(
            "task",
            {f"{task.of}, {task.task}": task for task in before.tasks},
            {f"{task.of}, {task.task}": task for task in after.tasks},
            _task_words,
        ),
    ]


def _steps(before: ClubRoutine, after: ClubRoutine, on_record: StepsOnRecord) -> Iterator[RoutineChange]:
    was, will = Steps(before.steps), Steps(after.steps)
    moved = _moved(was.keys, will.keys)
    old, new = {one.step: one for one in was.entries}, {one.step: one for one in will.entries}
    for step, entry in new.items():
        known = old.get(step)
        place = f"step {will.keys.index(step) + 1}" if not entry.left_out else "left out"
        if known is None:
            yield _step(step, RowChange.NEW, None, f"{place}: {_words(entry)}")
            continue
        if entry.left_out and not known.left_out:
            yield _step(step, RowChange.LEFT_OUT, f"step {was.keys.index(step) + 1}", on_record.words(step))
        elif known.left_out and not entry.left_out:
            yield _step(step, RowChange.PUT_BACK, "left out", place)
        elif step in moved:
            yield _step(step, RowChange.MOVED, f"step {was.keys.index(step) + 1}", place)
        if replace(known, left_out=entry.left_out) != entry:
            was_told, told = _differing(_told(known), _told(entry))
            nothing = "as it ships" if entry.ships else None
            yield _step(step, RowChange.CHANGED, was_told or nothing, told or nothing)
    for step, entry in old.items():
        if step not in new:
            yield _step(step, RowChange.TAKEN_AWAY, _words(entry), on_record.words(step))


def _step(step: StepKey, change: RowChange, was: str | None, becomes: str | None) -> RoutineChange:
    return RoutineChange(part="checklist", name=step, change=change, was=was, becomes=becomes)


def _words(entry: StepEntry) -> str:
    return _joined(_told(entry)) or "as it ships"


def _told(entry: StepEntry) -> list[str]:
    """What the club says of a step; what stays as it ships is not told."""
    told = [entry.title or (own_title(entry.step) if not entry.ships else None), entry.do]
    told += [f"tolerance: {entry.tolerance}"] if entry.tolerance is not None else []
    told += [f"why: {entry.why}"] if entry.why is not None else []
    told += [f"only {', '.join(entry.mounts)}"] if entry.mounts else []
    told += ["about the mount"] if entry.about_the_mount else []
    return [words for words in told if words]


def _joined(told: Iterable[str]) -> str:
    return "; ".join(words.removesuffix(".") for words in told)


def _differing(was: Sequence[str], becomes: Sequence[str]) -> tuple[str, str]:
    """What was said and is not any more, and what is said anew."""
    return _joined(one for one in was if one not in becomes), _joined(
        one for one in becomes if one not in was
    )


def _loan(before: ClubRoutine, after: ClubRoutine) -> Iterator[RoutineChange]:
    if after.loan_days is not None and after.loan_days != before.loan_days:
        was = None if before.loan_days is None else counted(before.loan_days, "day")
        yield _of_loan("days", was, counted(after.loan_days, "day"))
    if after.terms.renewals != before.terms.renewals:
        yield _of_loan("renewals", _often(before.terms.renewals), _often(after.terms.renewals))
    if after.terms.statements != before.terms.statements:
        yield _of_loan("agrees", " ".join(before.terms.statements), " ".join(after.terms.statements))


def _of_loan(name: str, was: str | None, becomes: str) -> RoutineChange:
    return RoutineChange(part="loan", name=name, change=RowChange.CHANGED, was=was, becomes=becomes)


def _often(renewals: int | None) -> str:
    return AS_OFTEN_AS_ASKED if renewals is None else counted(renewals, "time")


def _rows(
    part: str, before: Mapping[str, R], after: Mapping[str, R], told: Callable[[R], list[str]]
) -> Iterator[RoutineChange]:
    moved = _moved(list(before), list(after))
    for name, row in after.items():
        was = before.get(name)
        if was is None:
            yield RoutineChange(part=part, name=name, change=RowChange.NEW, becomes=_joined(told(row)))
        elif was != row:
            old, new = _differing(told(was), told(row))
            yield RoutineChange(part=part, name=name, change=RowChange.CHANGED, was=old, becomes=new)
        elif name in moved:
            places = (f"row {list(before).index(name) + 1}", f"row {list(after).index(name) + 1}")
            yield RoutineChange(
                part=part, name=name, change=RowChange.MOVED, was=places[0], becomes=places[1]
            )
    for name, row in before.items():
        if name not in after:
            yield RoutineChange(part=part, name=name, change=RowChange.TAKEN_AWAY, was=_joined(told(row)))


def _task_words(task: RoutineTask) -> list[str]:
    told = [task.interval, task.do, task.caution, f"({task.source})"]
    return [words for words in told if words]


def _moved(before: Sequence[str], after: Sequence[str]) -> set[str]:
    """What is in both, and no longer stands in the same order beside the rest."""
    common = set(before) & set(after)
    was, will = [one for one in before if one in common], [one for one in after if one in common]
    matcher = SequenceMatcher(None, was, will, autojunk=False)
    kept = {one for block in matcher.get_matching_blocks() for one in was[block.a : block.a + block.size]}
    return common - kept
