"""The cells of a sheet as values, a column at a time, each held to what the column may hold.

A column is read at one go; only where that fails is it read cell by cell, to say which cells are wrong.
"""

import re
import sys
from base64 import b64decode
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from math import isfinite
from typing import Any

from obslog.errors import ObslogError
from obslog.exchange.formula_guard import unguarded
from obslog.exchange.package.tables import Holds, SheetColumn
from obslog.fields import NumberField, TextField, unusable
from obslog.times import YEAR

LONGEST_TEXT = 1_000_000
_SHOWN = 40
_NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?", re.ASCII)
_SIGNS_OF_NUMBERS = re.compile(r"[-0-9.eE+]*")  # what float() takes of these is what _NUMBER takes
_LARGEST = sys.float_info.max
_WHOLE = re.compile(r"-?\d{1,18}", re.ASCII)
_KEY = re.compile("[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")
_DAY = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_INSTANT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,6})?Z", re.ASCII)
_YES_NO = {"true": True, "false": False}
_EXAMPLES = {
    Holds.KEY: "019a8b1c-0000-7000-8000-000000000001",
    Holds.INSTANT: "2026-03-02T20:41:00Z",
    Holds.DAY: "2026-03-02",
    Holds.WHOLE: "3",
    Holds.NUMBER: "51.25",
}
Check = Callable[[str], object]
"""What else is asked of a text, such as a time zone; raises ObslogError."""


class CellRefused(Exception):
    """What is wrong with a cell, and what to do."""

    def __init__(self, reason: str, remedy: str) -> None:
        super().__init__(reason)
        self.reason, self.remedy = reason, remedy


@dataclass(frozen=True, slots=True)
class CellFault:
    """A wrong cell, by its place in the column."""

    place: int
    reason: str
    remedy: str


class ColumnReader:
    """Reads the cells of one column. `check` is what else is asked of a text."""

    def __init__(self, column: SheetColumn, check: Check | None = None) -> None:
        self._column = column
        self._check = check
        self._read = _READERS[column.holds]

    def read(self, cells: Sequence[str], faults: list[CellFault]) -> list[Any]:
        """The values; None where a cell is blank or wrong, and what is wrong with each of those."""
        numbers = self._numbers(cells) if self._column.holds is Holds.NUMBER else None
        if numbers is not None:
            return numbers
        different = set(cells)
        try:
            if 2 * len(different) <= len(cells):
                values = {cell: self._value(cell) for cell in different}
                return [values[cell] for cell in cells]
            return [self._value(cell) for cell in cells]
        except CellRefused:
            return list(self._one_by_one(cells, faults))

    def _numbers(self, cells: Sequence[str]) -> list[Any] | None:
        """All numbers of a column at one go; None where any of its cells has to be looked at by itself."""
        if not _SIGNS_OF_NUMBERS.fullmatch("".join(cells)):
            return None
        try:
            numbers = [float(cell) if cell else None for cell in cells]
        except ValueError:
            return None
        known = [number for number in numbers if number is not None]
        if self._column.needed and len(known) < len(numbers):
            return None
        rule = self._column.rule
        low, high = (rule.low, rule.high) if isinstance(rule, NumberField) else (-_LARGEST, _LARGEST)
        inside = not known or (low <= min(known) and max(known) <= high)
        return numbers if inside else None

    def _one_by_one(self, cells: Sequence[str], faults: list[CellFault]) -> Iterator[Any]:
        for place, cell in enumerate(cells):
            try:
                yield self._value(cell)
            except CellRefused as error:
                faults.append(CellFault(place, error.reason, error.remedy))
                yield None

    def _value(self, cell: str) -> Any:
        if not cell:
            if self._column.needed:
                raise CellRefused("is blank, but it is needed.", _write_it_like(self._column))
            return None
        value = self._read(self._column, cell)
        if self._check is not None:
            try:
                self._check(value)
            except ObslogError as error:
                raise CellRefused(error.message, error.hint) from error
        return value


def _write_it_like(column: SheetColumn) -> str:
    if column.words:
        return f"Write one of {', '.join(column.words)}."
    example = _EXAMPLES.get(column.holds)
    return f"Write it like {example}." if example else "Fill it in."


def _wrong(column: SheetColumn, cell: str, what: str) -> CellRefused:
    short = cell if len(cell) <= _SHOWN else f"{cell[:_SHOWN]}..."
    return CellRefused(f"{short!r} is {what}.", _write_it_like(column))


def _key(column: SheetColumn, cell: str) -> str:
    """A key as text: so the database stores it, or casts it."""
    if _KEY.fullmatch(cell):
        return cell
    raise _wrong(column, cell, "not a key")


def _instant(column: SheetColumn, cell: str) -> datetime:
    if _INSTANT.fullmatch(cell):
        try:
            instant = datetime.fromisoformat(cell)
        except ValueError:
            pass
        else:
            _check_year(instant)
            return instant.replace(tzinfo=UTC)
    raise _wrong(column, cell, "not an instant of universal time")


def _day(column: SheetColumn, cell: str) -> date:
    if _DAY.fullmatch(cell):
        try:
            day = date.fromisoformat(cell)
        except ValueError:
            pass
        else:
            _check_year(day)
            return day
    raise _wrong(column, cell, "not a day of the calendar")


def _check_year(day: date) -> None:
    if not YEAR.holds(day.year):
        raise CellRefused(f"{day.year} is not a year from {YEAR.low:g} to {YEAR.high:g}.", "Check the year.")


def _yes_no(column: SheetColumn, cell: str) -> bool:
    found = _YES_NO.get(cell.lower())  # a spreadsheet writes them in capitals
    if found is None:
        raise CellRefused(f"{cell[:_SHOWN]!r} is neither true nor false.", "Write true or false.")
    return found


def _word(column: SheetColumn, cell: str) -> str:
    if cell not in column.words:
        raise _wrong(column, cell, f"none of {', '.join(column.words)}")
    return cell


def _whole(column: SheetColumn, cell: str) -> int:
    if not _WHOLE.fullmatch(cell):
        raise _wrong(column, cell, "not a whole number")
    return int(_in_range(column, int(cell), cell))


def _number(column: SheetColumn, cell: str) -> float:
    if not _NUMBER.fullmatch(cell):
        raise _wrong(column, cell, "not a number with a decimal point")
    return _in_range(column, float(cell), cell)


def _in_range(column: SheetColumn, number: float, cell: str) -> float:
    rule = column.rule
    if not isfinite(number) or (isinstance(rule, NumberField) and not rule.holds(number)):
        ends = f" from {rule.range_words}" if isinstance(rule, NumberField) else " that is finite"
        raise CellRefused(f"{cell[:_SHOWN]} is not a number{ends}.", "Correct it, or leave the cell blank.")
    return number


def _text(column: SheetColumn, cell: str) -> str:
    text = unguarded(cell)
    rule = column.rule
    if isinstance(rule, TextField):
        if not rule.holds(text):
            kinds = "characters on one line" if rule.one_line else "characters"
            raise CellRefused(
                f"{text[:_SHOWN]!r} is not a text of 1 to {rule.longest} {kinds} that can be shown.",
                "Give it shorter or plainer.",
            )
    elif len(text) > LONGEST_TEXT or unusable(text):
        raise CellRefused(
            f"{text[:_SHOWN]!r} has more than {LONGEST_TEXT} characters, or some that cannot be shown.",
            "Give it shorter or plainer.",
        )
    return text


def _bytes(column: SheetColumn, cell: str) -> bytes:
    try:
        return b64decode(unguarded(cell), validate=True)
    except ValueError as error:
        raise CellRefused(
            f"{cell[:_SHOWN]!r} is not base64.", "Leave such cells as they were exported."
        ) from error


_READERS: dict[Holds, Callable[[SheetColumn, str], Any]] = {
    Holds.KEY: _key,
    Holds.INSTANT: _instant,
    Holds.DAY: _day,
    Holds.YES_NO: _yes_no,
    Holds.WORD: _word,
    Holds.WHOLE: _whole,
    Holds.NUMBER: _number,
    Holds.TEXT: _text,
    Holds.BYTES: _bytes,
}
