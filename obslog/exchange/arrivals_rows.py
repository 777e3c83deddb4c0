"""The rows of an arrivals sheet and what can be wrong with them, apart from how they are written in a file."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Required, TypedDict

from obslog.errors import WrongInput


class SheetRow(TypedDict, total=False):
    """One row, its cells read and its words known; a blank cell is absent. `line` is where it stands in the file."""

    line: Required[int]
    night: Required[str]
    setup: int
    site: Required[str]
    observer: str
    mount: Required[str]
    tube: str
    utc: str
    local: str
    role: Required[str]
    target: Required[str]
    ra_hours: float
    dec_deg: float
    pier_side: str
    offset_east_arcmin: float
    offset_north_arcmin: float
    landing: str
    field_arcmin: float
    centring_arcmin: float
    note: str


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong in one row; `column` is empty where it is the row as a whole."""

    line: int
    column: str
    reason: str


class SheetRefused(WrongInput):
    """Some rows are wrong, so none was taken; `details` names every one."""

    def __init__(self, name: str, faults: Sequence[Fault]) -> None:
        lines = len({fault.line for fault in faults})
        are = "1 line is" if lines == 1 else f"{lines} lines are"
        super().__init__(
            f"{name}: {are} wrong, so nothing was taken.",
            "Put the lines right and import the file again; what is on record already is not added twice.",
        )
        self.faults = list(faults)
        self.details = grouped(faults)


def grouped(faults: Iterable[Fault]) -> list[str]:
    """A text line for each kind of fault, with the lines that have it: `lines 2-57, 60: site: ...`."""
    lines: dict[tuple[str, str], list[int]] = {}
    for fault in sorted(faults, key=lambda fault: fault.line):
        lines.setdefault((fault.column, fault.reason), []).append(fault.line)
    return [
        f"line{'s' if len(numbers) > 1 else ''} {_ranges(numbers)}: {column + ': ' if column else ''}{reason}"
        for (column, reason), numbers in lines.items()
    ]


def _ranges(numbers: Sequence[int]) -> str:
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(first) if first == last else f"{first}-{last}" for first, last in runs)
