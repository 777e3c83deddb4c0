"""The club's routine from its file: read as a whole, with every fault on its line."""

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path

from obslog.club.routine.club_routine import ClubRoutine, shipped_routine
from obslog.club.routine.file_lines import FileLines
from obslog.club.routine.file_rest import read_condition_words, read_loan, read_tasks
from obslog.club.routine.file_steps import read_steps_of_file
from obslog.club.routine.file_values import FileValues, RoutineFault
from obslog.errors import WrongInput, why_not_read

PARTS = ("checklist", "step", "conditions", "loan", "task")
MOST_BYTES = 1_000_000
_WHERE = re.compile(r" \(at line (\d+), column \d+\)")


class NoRoutineFile(WrongInput):
    def __init__(self, file: Path, why: str) -> None:
        super().__init__(
            f"The file {str(file)!r} cannot be read: {why}.",
            "Write one to begin with: obslog rule write routine.toml",
        )


@dataclass(frozen=True, slots=True)
class RoutineRead:
    """What a file says; with any fault what it says is not to be used."""

    routine: ClubRoutine
    faults: list[RoutineFault]


def text_of_file(file: Path) -> str:
    """The text of a file. Raises NoRoutineFile."""
    try:
        with file.open("rb") as stream:
            content = stream.read(MOST_BYTES + 1)
    except OSError as error:
        raise NoRoutineFile(file, why_not_read(error, file)) from error
    if len(content) > MOST_BYTES:
        raise NoRoutineFile(file, "it is far too large")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise NoRoutineFile(file, f"line {line} is not in UTF-8") from error


def read_routine(text: str) -> RoutineRead:
    """What a text says, and all that is wrong with it; a part that is not there is as it ships."""
    try:
        told = tomllib.loads(text)
    except RecursionError:
        return _unreadable(None, "it is nested far too deeply")
    except ValueError as error:
        found = _WHERE.search(f"{error}")
        reason = _WHERE.sub("", f"{error}").removesuffix(".")
        return _unreadable(int(found[1]) if found else None, reason[:1].lower() + reason[1:])
    values = FileValues(FileLines(text))
    values.only(told, (), PARTS)
    steps = read_steps_of_file(values, told)
    terms, days = read_loan(values, told)
    routine = ClubRoutine(
        steps=steps,
        tasks=read_tasks(values, told),
        words=read_condition_words(values, told),
        terms=terms,
        loan_days=days,
    )
    return RoutineRead(routine, sorted(values.faults, key=lambda fault: fault.line or 0))


def _unreadable(line: int | None, reason: str) -> RoutineRead:
    fault = RoutineFault(
        line,
        f"It cannot be read as TOML: {reason}.",
        "Texts stand in double quotes, lists in [ ] with commas, and each part and key once.",
    )
    return RoutineRead(shipped_routine(), [fault])
