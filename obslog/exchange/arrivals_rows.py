"""The rows of an arrivals sheet and what can be wrong with them, apart from how they are written in a file.

`SheetRow` is the one list of the columns: what each may hold stands beside it, and everything else about columns (the
order in a file, which are needed, which are words, which are compared) is made from it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Literal, Required, get_args, get_origin, get_type_hints

from typing_extensions import TypedDict  # pydantic asks for this one below Python 3.12

from obslog import fields
from obslog.english import counted
from obslog.errors import WrongInput
from obslog.fields import TextField
from obslog.vocabulary.arrivals import Landing, Role
from obslog.vocabulary.mounts import PierSide


@dataclass(frozen=True, slots=True)
class CellPattern:
    """A cell with a pattern of its own, and an example of it."""

    pattern: str
    example: str


Night = Annotated[str, CellPattern(r"^\d{4}-\d\d-\d\d$", "2026-03-02")]
Utc = Annotated[
    str,
    CellPattern(
        r"^\d{4}-\d\d-\d\d[T ]\d\d:\d\d(:\d\d(\.\d{1,6})?)?(Z|[+-]\d\d:\d\d)$", "2026-03-02T20:41:00Z"
    ),
]
Local = Annotated[str, CellPattern(r"^\d\d:\d\d(:\d\d)?$", "20:41")]
Name = Annotated[str, fields.NAME]
Offset = Annotated[float, fields.OFFSET_ARCMIN]


class SheetRow(TypedDict, total=False):
    """One row, its cells read and its words known; a blank cell is absent. `line` is where it stands in the file."""

    line: Required[int]
    night: Required[Night]
    setup: Annotated[int, fields.SETUP_ORDINAL]
    site: Required[Name]
    observer: Name
    mount: Required[Name]
    tube: Name
    utc: Utc
    local: Local
    role: Required[Annotated[str, Role]]
    target: Required[Annotated[str, fields.TARGET]]
    ra_hours: Annotated[float, fields.RA_HOURS]
    dec_deg: Annotated[float, fields.DEC_DEG]
    pier_side: Annotated[str, PierSide]
    offset_east_arcmin: Offset
    offset_north_arcmin: Offset
    landing: Annotated[str, Landing]
    field_arcmin: Annotated[float, fields.FIELD_ARCMIN]
    centring_arcmin: Annotated[float, fields.CENTRING_ARCMIN]
    note: Annotated[str, fields.NOTE]


def _rule(hint: Any) -> Any:
    """What stands beside a column's type: a field, a pattern or a vocabulary; None where nothing does."""
    if get_origin(hint) is Required:
        (hint,) = get_args(hint)
    return get_args(hint)[1] if get_origin(hint) is Annotated else None


RULES = {
    name: _rule(hint)
    for name, hint in get_type_hints(SheetRow, include_extras=True).items()
    if name != "line"
}
# As they are written; a local time may only come in.
COLUMNS = tuple(name for name in RULES if name != "local")
NEEDED_COLUMNS = tuple(name for name in RULES if name in SheetRow.__required_keys__)
WORD_COLUMNS = frozenset(name for name, rule in RULES.items() if isinstance(rule, type))
TEXT_COLUMNS = frozenset(name for name, rule in RULES.items() if isinstance(rule, TextField))
# An arrival is known by set-up, time, role and target; of one that is known, these are compared.
COMPARED_COLUMNS = COLUMNS[COLUMNS.index("target") + 1 :]


LineOrRow = Literal["line", "row"]
"""Where a fault is, as who reads of it sees the file: as a text, or as a spreadsheet."""


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong in one row; `column` is empty where it is the row as a whole."""

    line: int
    column: str
    reason: str


class SheetRefused(WrongInput):
    """Some rows are wrong, so none was taken; `details` names every one by its `place`: a line of a file, or a row."""

    def __init__(self, name: str, faults: Sequence[Fault], place: LineOrRow = "line") -> None:
        wrong = len({fault.line for fault in faults})
        super().__init__(
            f"{name}: {counted(wrong, place)} {'is' if wrong == 1 else 'are'} wrong, so nothing was imported.",
            f"Correct the {place}s and import the file again; what is on record already is not added twice.",
        )
        self.faults = list(faults)
        self.details = grouped(faults, place)


def grouped(faults: Iterable[Fault], place: LineOrRow) -> list[str]:
    """A text line for each kind of fault, with the places that have it: `lines 2-57, 60: site: ...`."""
    lines: dict[tuple[str, str], list[int]] = {}
    for fault in sorted(faults, key=lambda fault: fault.line):
        lines.setdefault((fault.column, fault.reason), []).append(fault.line)
    return [
        f"{place}{'s' if len(numbers) > 1 else ''} {ranges(numbers)}: {column + ': ' if column else ''}{reason}"
        for (column, reason), numbers in lines.items()
    ]


def ranges(numbers: Sequence[int]) -> str:
    """`2-57, 60`, of line numbers in order."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(first) if first == last else f"{first}-{last}" for first, last in runs)
