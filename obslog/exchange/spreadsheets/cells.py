"""What a cell says, in its column's own terms: texts, numbers with their units and signs of money, words, dates."""

import re
from collections.abc import Callable
from datetime import date, time
from enum import StrEnum

from obslog.errors import ObslogError
from obslog.exchange.spreadsheets.cell_dates import CellReading, read_day, read_past_day, read_time
from obslog.exchange.spreadsheets.cell_numbers import read_number
from obslog.exchange.spreadsheets.columns import Column, Reads, also_said
from obslog.exchange.spreadsheets.grid import BadCell, Cell, cell_text
from obslog.fields import NumberField, TextField

Value = str | float | int | bool | date | time | tuple[str, ...] | None
BLANK = frozenset({"", "-", "--", "?", "n/a", "n.a.", "na", "none", "unknown", "nil", "tbc", "tbd"})
_YES, _NO = (
    frozenset({"yes", "y", "x", "true", "1", "✓", "✔", "ja", "oui"}),
    frozenset({"no", "n", "false", "0", "nein", "non"}),
)


def is_blank(cell: Cell) -> bool:
    """Whether the cell says nothing: empty, a dash, a question mark, "n/a"."""
    return cell is None or (isinstance(cell, str) and cell.strip().casefold() in BLANK)


def cell_value(column: Column, cell: Cell, reading: CellReading) -> Value:
    """What the cell says, in the column's own terms; None where it is blank. Raises BadCell."""
    if is_blank(cell):
        return None
    try:
        return _READERS[_kind_of(column)](column, cell, reading)
    except BadCell:
        raise
    except ObslogError as error:
        raise BadCell(error.message, error.hint) from error


def _kind_of(column: Column) -> type[object] | Reads:
    holds = column.holds
    if isinstance(holds, Reads):
        return holds
    return StrEnum if isinstance(holds, type) else type(holds)


def _text(column: Column, cell: Cell, _reading: CellReading) -> Value:
    assert isinstance(column.holds, TextField)
    return column.holds.checked(cell_text(cell))


def _word(column: Column, cell: Cell, _reading: CellReading) -> Value:
    assert isinstance(column.holds, type)
    words = [str(word) for word in column.holds]
    said = " ".join(cell_text(cell).casefold().split())
    said = also_said().get(column.holds, {}).get(said, said)
    if said in words:
        return said
    raise BadCell(
        f"{cell_text(cell)[:40]!r} is none of {', '.join(words)}.",
        f"Write one of these words: {', '.join(words)}.",
    )


def _yes_or_no(_column: Column, cell: Cell, _reading: CellReading) -> Value:
    if isinstance(cell, bool):
        return cell
    said = cell_text(cell).casefold()
    if said in _YES or said in _NO:
        return said in _YES
    raise BadCell(f"{said[:40]!r} is neither yes nor no.", "Write yes or no.")


def _names(_column: Column, cell: Cell, _reading: CellReading) -> Value:
    return tuple(name for part in re.split(r"[;\n]", cell_text(cell)) if (name := " ".join(part.split())))


def _day(_column: Column, cell: Cell, reading: CellReading) -> Value:
    return read_day(cell, reading)


def _past_day(_column: Column, cell: Cell, reading: CellReading) -> Value:
    return read_past_day(cell, reading)


def _time(_column: Column, cell: Cell, _reading: CellReading) -> Value:
    return read_time(cell)


_READERS: dict[type[object] | Reads, Callable[[Column, Cell, CellReading], Value]] = {
    TextField: _text,
    NumberField: read_number,
    StrEnum: _word,
    Reads.DAY: _day,
    Reads.PAST_DAY: _past_day,
    Reads.YES_OR_NO: _yes_or_no,
    Reads.NAMES: _names,
    Reads.TIME: _time,
}
