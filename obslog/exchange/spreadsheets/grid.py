"""A spreadsheet as a grid of cells with the numbers of its rows: CSV in what a spreadsheet saves, or .xlsx.

A file is somebody else's: its size, its rows and its cells have limits, formulas are taken by the value that was saved,
and nothing in it is run or followed. Cells that were merged each hold the value of the whole.
"""

import csv
from collections.abc import Iterator, Sequence
from datetime import date, datetime, time, timedelta
from io import StringIO
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple
from zipfile import BadZipFile, ZipFile

from obslog.errors import ObslogError, WrongInput, why_not_read
from obslog.exchange.formula_guard import unguarded

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

Cell = str | float | bool | date | None
"""What stands in a cell; a blank one is None, and so is one with spaces alone. A date with a time is text."""

MOST_ROWS = 200_000
MOST_COLUMNS = 400
LARGEST_CELL = 1_000_000
LARGEST_UNPACKED = 400_000_000
_SIGNS = ",;\t"
_BLANK_OR_GUARD = ("", "'")
_ENCODINGS = ("utf-8-sig", "utf-16", "cp1252")


class BadCell(WrongInput):
    """What is wrong with a cell, as a sentence that begins with what stands there."""


class UnreadableSheet(WrongInput):
    def __init__(self, path: Path, why: str, hint: str) -> None:
        super().__init__(f"{path.name} cannot be read: {why}.", hint)


class NoSuchFile(ObslogError):
    def __init__(self, path: Path, why: str) -> None:
        super().__init__(f"{path} cannot be opened: {why}.", "Check the name and the folder.")


class Row(NamedTuple):
    """A row and its number as the spreadsheet shows it, from 1."""

    number: int
    cells: Sequence[Cell]


def read_grid(path: Path, worksheet: str | None = None) -> list[Row]:
    """All rows that hold anything. A workbook of several sheets with rows wants `worksheet` named.

    Raises NoSuchFile, UnreadableSheet.
    """
    try:
        if path.suffix.casefold() in (".xlsx", ".xlsm"):
            return _of_workbook(path, worksheet)
        return _of_text(path)
    except OSError as error:
        raise NoSuchFile(path, why_not_read(error, path)) from error


def _of_text(path: Path) -> list[Row]:
    data = path.read_bytes()
    if data.startswith(b"PK\x03\x04") or data.startswith(b"\xd0\xcf\x11\xe0"):
        raise UnreadableSheet(
            path, "it is a workbook and not a text", "Save it as .xlsx or as CSV, and name that file."
        )
    text = _decoded(data)
    if "\x00" in text:
        raise UnreadableSheet(path, "it is no text", "Save the sheet as CSV or .xlsx, and name that file.")
    csv.field_size_limit(LARGEST_CELL)
    lines = csv.reader(StringIO(text, newline=""), delimiter=_sign_between_cells(text), strict=True)
    rows = []
    try:
        for number, cells in enumerate(lines, start=1):
            _look_at_size(path, number, len(cells))
            if any(cell and not cell.isspace() for cell in cells):
                bare = map(str.strip, cells)
                rows.append(
                    Row(
                        number,
                        [unguarded(text) or None if text[:1] in _BLANK_OR_GUARD else text for text in bare],
                    )
                )
    except csv.Error as error:
        raise UnreadableSheet(
            path, f"{error} in line {lines.line_num}", "Save it again as CSV from the spreadsheet."
        ) from error
    return rows


def _decoded(data: bytes) -> str:
    """The text in the first encoding that fits; an old one with a sign for every byte is the last to be tried."""
    for encoding in _ENCODINGS:
        if encoding == "utf-16" and not data.startswith((b"\xff\xfe", b"\xfe\xff")):
            continue
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    return data.decode("latin-1")


def _sign_between_cells(text: str) -> str:
    """Comma, semicolon or tab: the one that stands most often outside quotes in the first lines."""
    outside = "".join(text[:20_000].split('"')[::2])
    return max(_SIGNS, key=outside.count)


def _of_workbook(path: Path, worksheet: str | None) -> list[Row]:
    from openpyxl import load_workbook
    from openpyxl.utils.exceptions import InvalidFileException

    hint = "Save it again as .xlsx or as CSV."
    try:
        with ZipFile(path) as archive:
            if sum(part.file_size for part in archive.infolist()) > LARGEST_UNPACKED:
                raise UnreadableSheet(path, "it is far larger than a club's lists", hint)
        book = load_workbook(path, data_only=True)
    except (BadZipFile, InvalidFileException, KeyError, ValueError, EOFError, SyntaxError) as error:
        raise UnreadableSheet(path, "it is no .xlsx workbook, or is damaged", hint) from error
    return list(_rows_of(path, _sheet_of(path, book.worksheets, worksheet)))


def _sheet_of(path: Path, sheets: "Sequence[Worksheet]", name: str | None) -> "Worksheet":
    if name is not None:
        found = [sheet for sheet in sheets if sheet.title.casefold() == name.casefold()]
        if found:
            return found[0]
    filled = [sheet for sheet in sheets if sheet.max_row > 1]
    if name is None and len(filled) <= 1:
        return filled[0] if filled else sheets[0]
    raise UnreadableSheet(
        path,
        f"it has no sheet {name!r}" if name is not None else f"it has {len(filled)} sheets",
        f"Say which: {' or '.join(f'--sheet {sheet.title!r}' for sheet in (filled or sheets))}",
    )


def _rows_of(path: Path, sheet: "Worksheet") -> Iterator[Row]:
    _look_at_size(path, sheet.max_row, sheet.max_column)
    merged = {
        (row, column): (area.min_row, area.min_col)
        for area in sheet.merged_cells.ranges
        for row in range(area.min_row, area.max_row + 1)
        for column in range(area.min_col, area.max_col + 1)
    }
    for number, cells in enumerate(sheet.iter_rows(values_only=True), start=1):
        values = [_value(cell) for cell in cells]
        for place in range(len(values)):
            origin = merged.get((number, place + 1))
            if origin is not None:
                values[place] = _value(sheet.cell(*origin).value)
        if any(value is not None for value in values):
            yield Row(number, values)


def _value(cell: object) -> Cell:
    if cell is None or isinstance(cell, bool | float):
        return cell
    if isinstance(cell, int):
        return float(cell)
    if isinstance(cell, datetime):
        nearest = (cell + timedelta(milliseconds=500)).replace(microsecond=0)  # kept as a fraction of a day
        return cell.date() if nearest.time() == time.min else nearest.isoformat(" ")
    if isinstance(cell, date):
        return cell
    return str(cell).strip() or None


def _look_at_size(path: Path, rows: int, columns: int) -> None:
    if rows > MOST_ROWS or columns > MOST_COLUMNS:
        raise UnreadableSheet(
            path,
            f"it has more than {MOST_ROWS} rows or {MOST_COLUMNS} columns",
            "Delete what lies outside the list, and save it again.",
        )


def cell_text(cell: Cell) -> str:
    """The cell as text; a whole number that a spreadsheet made of a tag such as 0014 has no decimals."""
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() and abs(cell) < 1e15 else repr(cell)
    return str(cell)
