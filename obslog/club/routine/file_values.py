"""Values of the club's file taken out one by one: each of the right kind, within its limits, and no key left over.

What is wrong is noted with its line and what to do, and reading goes on, so that all of it is told at once.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from obslog.club.routine.file_lines import FileLines, Path
from obslog.errors import OutOfRange, nearest_names
from obslog.fields import NumberField, TextField, UnusableText

LONGEST_SAID = 40


@dataclass(frozen=True, slots=True)
class RoutineFault:
    """What is wrong in the file, on which line (None: in the file as a whole), and what to do."""

    line: int | None
    message: str
    remedy: str

    def __str__(self) -> str:
        where = "the file" if self.line is None else f"line {self.line}"
        return f"{where}: {self.message} {self.remedy}"


def said(value: object) -> str:
    """A value of the file as it is said back: short, and without what a terminal would obey."""
    text = repr(value)
    return text if len(text) <= LONGEST_SAID else f"{text[:LONGEST_SAID]}..."


@dataclass(slots=True)
class FileValues:
    """The values of a file, its lines, and the faults found so far."""

    lines: FileLines
    faults: list[RoutineFault] = field(default_factory=list)

    def fault(self, path: Path, message: str, remedy: str) -> None:
        """Note what is wrong at a path."""
        self.faults.append(RoutineFault(self.lines.of(path), message, remedy))

    def only(self, table: Mapping[str, Any], path: Path, known: Sequence[str]) -> None:
        """Note each key of a table that is not known."""
        for key in table:
            if key not in known:
                near = nearest_names(key, known)
                meant = f"Did you mean {near[0]}? " if near else ""
                self.fault(
                    (*path, key), f"{said(key)} is not known here.", f"{meant}Known here: {', '.join(known)}."
                )

    def table(self, value: object, path: Path) -> Mapping[str, Any]:
        """A table; an empty one where it is none."""
        if isinstance(value, dict):
            return value
        name, shown = (
            (path[-1], f"[{path[-1]}]") if isinstance(path[-1], str) else (path[-2], f"[[{path[-2]}]]")
        )
        self.fault(path, f"{name} is not a part of the file.", f"Write it as a part: {shown}")
        return {}

    def texts(self, value: object, path: Path, holds: TextField) -> list[tuple[str, Path]]:
        """The texts of a list, each with its path; those that cannot be kept are left out."""
        if not isinstance(value, list):
            self.fault(path, f"{path[-1]} is not a list.", f'Write it as a list: {path[-1]} = ["...", "..."]')
            return []
        found = [(self.text(one, (*path, place), holds), (*path, place)) for place, one in enumerate(value)]
        return [(text, place) for text, place in found if text is not None]

    def text(self, value: object, path: Path, holds: TextField) -> str | None:
        """A text that can be kept; None where it is none."""
        if not isinstance(value, str):
            self.fault(path, f"{holds.words} {said(value)} is not a text.", "Put it in double quotes.")
            return None
        try:
            return holds.checked(value)
        except UnusableText as error:
            self.fault(path, error.message, error.hint)
            return None

    def number(self, value: object, path: Path, holds: NumberField) -> int | None:
        """A whole number within its range; None where it is none."""
        if isinstance(value, bool) or not isinstance(value, int):
            self.fault(
                path, f"{holds.words} {said(value)} is not a whole number.", "Write digits, without quotes."
            )
            return None
        try:
            holds.check(value, shown=said(value))
        except OutOfRange as error:
            self.fault(path, error.message, error.hint)
            return None
        return value

    def yes_or_no(self, value: object, path: Path) -> bool:
        """A truth value; false where it is none."""
        if isinstance(value, bool):
            return value
        self.fault(path, f"{path[-1]} {said(value)} is neither true nor false.", "Write: true or false")
        return False
