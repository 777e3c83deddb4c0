"""Service tasks, words for conditions and loan terms in the club's file."""

from collections.abc import Mapping
from typing import Any

from obslog import fields
from obslog.club.routine.condition_words import ALWAYS, MEANINGS, SAID, SHIPPED_WORDS, MeantWord
from obslog.club.routine.file_lines import Path
from obslog.club.routine.file_values import FileValues, said
from obslog.club.routine.loan_terms import SHIPPED_STATEMENTS, Terms
from obslog.club.routine.service_routine import THE_CLUBS_OWN, RoutineTask, shipped_tasks
from obslog.fields import TextField
from obslog.records.tables.base import name_key
from obslog.vocabulary.storeroom import Condition

MOST_TASKS = 500
MOST_WORDS = 50
STATEMENT = TextField("What a borrower agrees to", 400, one_line=True)
TASK_WORDS = {
    "of": fields.TASK_OF,
    "task": fields.TASK,
    "do": fields.TASK_WORDS,
    "when": fields.TASK_WORDS,
    "caution": fields.TASK_WORDS,
    "source": fields.TASK_WORDS,
}
TASK_NUMBERS = {"every_months": fields.EVERY_MONTHS, "every_nights": fields.EVERY_NIGHTS}
_BETWEEN_PART_AND_WORDS = ":="


def read_tasks(values: FileValues, told: Mapping[str, Any]) -> tuple[RoutineTask, ...]:
    """The service routine; the one that ships where the file says nothing of it."""
    if "task" not in told:
        return shipped_tasks()
    listed = told["task"]
    if not isinstance(listed, list) or not listed:
        values.fault(("task",), "There is no task in it.", "Write each task in a part of its own: [[task]]")
        return shipped_tasks()
    if len(listed) > MOST_TASKS:
        values.fault(("task", MOST_TASKS), f"There are more than {MOST_TASKS} tasks.", "Leave some out.")
    found: dict[tuple[str, str], RoutineTask] = {}
    for place, one in enumerate(listed):
        task = _task(values, one, ("task", place))
        if task is None:
            continue
        if (task.of, task.task) in found:
            values.fault(
                ("task", place),
                f"The task {said(task.task)} of {said(task.of)} stands there twice.",
                "Keep one.",
            )
        found[task.of, task.task] = task
    return tuple(found.values())


def _task(values: FileValues, told: object, path: Path) -> RoutineTask | None:
    before = len(values.faults)
    words = values.table(told, path)
    values.only(words, path, (*TASK_WORDS, *TASK_NUMBERS))
    texts = {
        name: values.text(words[name], (*path, name), holds)
        for name, holds in TASK_WORDS.items()
        if name in words
    }
    numbers = {
        name: values.number(words[name], (*path, name), holds)
        for name, holds in TASK_NUMBERS.items()
        if name in words
    }
    _fault_what_is_missing(values, words, path)
    if (texts.get("of") or "").casefold() == "item":
        values.fault(
            (*path, "of"), "An item is no category.", "Name its category, such as battery, or a kind: mount."
        )
    if len(values.faults) > before:
        return None
    return RoutineTask(
        of=(texts["of"] or "").casefold(),
        task=(texts["task"] or "").casefold(),
        do=texts["do"] or "",
        every_months=numbers.get("every_months"),
        every_nights=numbers.get("every_nights"),
        when=texts.get("when"),
        caution=texts.get("caution"),
        source=texts.get("source") or THE_CLUBS_OWN,
    )


def _fault_what_is_missing(values: FileValues, words: Mapping[str, Any], path: Path) -> None:
    """A task has to say of what it is, what is to be done, and when it is due, in one way."""
    for name in ("of", "task", "do"):
        if name not in words:
            values.fault(path, f"The task has no {name}.", f'Say it: {name} = "..."')
    if ("when" in words) == any(name in words for name in TASK_NUMBERS):
        values.fault(
            path,
            "It is not said how often the task is due."
            if "when" not in words
            else "A task is due by time or by a state, not by both.",
            "Write every_months or every_nights, or both; or else when.",
        )


def read_condition_words(values: FileValues, told: Mapping[str, Any]) -> tuple[MeantWord, ...]:
    """The words for conditions; the program's own where the file says nothing of them."""
    if "conditions" not in told:
        return SHIPPED_WORDS
    before, path = len(values.faults), ("conditions",)
    table = values.table(told["conditions"], path)
    found: dict[str, MeantWord] = {}
    for key, meaning in table.items():
        word = values.text(key, (*path, key), fields.CONDITION_WORD)
        if word is None:
            continue
        one = _meant(values, word, meaning, (*path, key))
        if name_key(word) in found:
            values.fault(
                (*path, key),
                f"The word {said(word)} stands there twice.",
                "Capitals do not matter: keep one.",
            )
        elif one is not None:
            found[name_key(word)] = one
    if len(found) > MOST_WORDS:
        values.fault(path, f"There are more than {MOST_WORDS} words.", "Leave some out.")
    if len(values.faults) == before:
        for means in ALWAYS:
            if means not in {one.means for one in found.values()}:
                values.fault(
                    path,
                    f"No word means {SAID[means]}.",
                    f'The program needs one: {means} = "{SAID[means]}"',
                )
    return tuple(found.values())


def _meant(values: FileValues, word: str, meaning: object, path: Path) -> MeantWord | None:
    means = MEANINGS.get(meaning) if isinstance(meaning, str) else None
    if means is None:
        values.fault(
            path,
            f"{said(word)} means {said(meaning)}, which the program does not know.",
            f"It means one of: {', '.join(MEANINGS)}.",
        )
        return None
    if any(sign in word for sign in _BETWEEN_PART_AND_WORDS):
        values.fault(
            path,
            f"The word {said(word)} has a sign in it that stands behind a part.",
            "Write it without : and =.",
        )
        return None
    shipped = next((one for one in Condition if name_key(word) == one), None)
    if shipped is not None and means is not shipped:
        values.fault(
            path,
            f"{said(word)} is a word of the program's own and means {SAID[shipped]}: what is on record says so.",
            f'Leave it so: {shipped} = "{SAID[shipped]}"; or choose another word.',
        )
        return None
    return MeantWord(shipped.value if shipped else word, means)


def read_loan(values: FileValues, told: Mapping[str, Any]) -> tuple[Terms, int | None]:
    """The terms, and the days that a loan lasts; None where the file does not say how many."""
    path: Path = ("loan",)
    table = values.table(told.get("loan", {}), path)
    values.only(table, path, ("days", "renewals", "agrees"))
    days = values.number(table["days"], (*path, "days"), fields.LOAN_TERM_DAYS) if "days" in table else None
    renewals = (
        values.number(table["renewals"], (*path, "renewals"), fields.RENEWALS)
        if "renewals" in table
        else None
    )
    statements = SHIPPED_STATEMENTS
    if "agrees" in table:
        agrees = (*path, "agrees")
        statements = tuple(text for text, _ in values.texts(table["agrees"], agrees, STATEMENT))
        if table["agrees"] == []:
            values.fault(
                agrees, "The borrower agrees to nothing.", "Write a sentence, or take the line away."
            )
        if sum(map(len, statements)) + len(statements) > fields.LOAN_TERMS.longest:
            values.fault(
                agrees,
                "The terms are too long for a form.",
                f"Up to {fields.LOAN_TERMS.longest} characters in all.",
            )
    return Terms(statements, renewals), days
