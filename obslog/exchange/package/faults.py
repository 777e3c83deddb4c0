"""What is wrong with a folder of sheets: every fault with its file, line and column, the reason and what to do."""

from collections.abc import Iterator
from dataclasses import dataclass

from obslog.english import counted
from obslog.errors import WrongInput
from obslog.exchange.arrivals_rows import ranges

MOST_FAULTS = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetFault:
    """What is wrong; `line` is 0 where it is the file as a whole, `column` empty where it is the row."""

    file: str
    line: int = 0
    column: str = ""
    reason: str
    remedy: str


class FolderRefused(WrongInput):
    """The folder has faults, so nothing of it was taken; `details` names every one."""

    def __init__(self, folder: str, faults: "FaultList") -> None:
        more = " or more" if faults.is_full else ""
        super().__init__(
            f"{folder} has {counted(len(faults), 'fault')}{more}, so nothing was brought in.",
            "Put right what is named above, and import the folder again.",
        )
        self.faults = list(faults)
        self.details = grouped(self.faults)


class FaultList:
    """The faults found so far. Where it is full, no more are looked for."""

    def __init__(self, most: int = MOST_FAULTS) -> None:
        self._faults: list[SheetFault] = []
        self._most = most

    def add(self, file: str, reason: str, remedy: str, *, line: int = 0, column: str = "") -> None:
        if not self.is_full:
            self._faults.append(SheetFault(file=file, line=line, column=column, reason=reason, remedy=remedy))

    @property
    def is_full(self) -> bool:
        return len(self._faults) >= self._most

    def __len__(self) -> int:
        return len(self._faults)

    def __iter__(self) -> Iterator[SheetFault]:
        return iter(self._faults)


def grouped(faults: list[SheetFault]) -> list[str]:
    """A text line for each kind of fault, with the lines that have it: `nights.csv, lines 2-4: night_of: ...`."""
    lines: dict[tuple[str, str, str, str], list[int]] = {}
    for fault in faults:
        lines.setdefault((fault.file, fault.column, fault.reason, fault.remedy), []).append(fault.line)
    told = []
    for (file, column, reason, remedy), numbers in lines.items():
        placed = sorted({number for number in numbers if number})
        where = f", line{'s' if len(placed) > 1 else ''} {ranges(placed)}" if placed else ""
        told.append(f"{file}{where}: {column + ': ' if column else ''}{reason} {remedy}".rstrip())
    return told
