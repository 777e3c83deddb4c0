"""Writes rows of values as a sheet that can be brought in again: CSV or .xlsx, with the columns' own names as heads.

A text that a spreadsheet would take for a formula is written with an apostrophe before it in CSV, which is taken off
when the sheet comes in; in a workbook its cell says that it holds a text.
"""

import csv
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from enum import Enum
from pathlib import Path
from typing import IO, Any

from obslog.errors import WrongInput
from obslog.exchange.formula_guard import guarded
from obslog.exchange.spreadsheets.columns import SheetKind

ENDINGS = (".csv", ".xlsx")


class NoSheetName(WrongInput):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path.name} is not the name of a sheet.", "Name a file that ends in .csv or .xlsx."
        )


def check_ending(path: Path) -> None:
    """Raises NoSheetName for a file that is neither."""
    if path.suffix.casefold() not in ENDINGS:
        raise NoSheetName(path)


def write_spreadsheet(
    file: IO[bytes], path: Path, kind: SheetKind, rows: Iterable[Mapping[str, Any]], *, blank: bool = False
) -> int:
    """Write rows into the open file, in the form that the ending of `path` says; gives their number.

    A `blank` sheet to fill in has all columns that can come in.
    """
    heads = [column.name for column in kind.columns if column.given_out or blank]
    cells = [[row.get(name) for name in heads] for row in rows]
    if path.suffix.casefold() == ".xlsx":
        _write_workbook(file, kind, heads, cells)
    else:
        file.write(csv_text(heads, cells).encode("utf-8-sig"))
    return len(cells)


def csv_text(heads: Sequence[str], rows: Iterable[Sequence[Any]]) -> str:
    """The rows as CSV after RFC 4180."""
    from io import StringIO

    text = StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(heads)
    writer.writerows([_as_text(cell) for cell in row] for row in rows)
    return text.getvalue()


def blank_rows(kind: SheetKind) -> list[dict[str, Any]]:
    """One row of examples."""
    return [{column.name: column.example or None for column in kind.columns}]


def _as_text(cell: Any) -> str:
    if isinstance(cell, str) and not isinstance(cell, Enum):
        return guarded(cell)
    return str(_plain(cell)) if cell is not None else ""


def _plain(cell: Any) -> Any:
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return int(cell) if cell.is_integer() and abs(cell) < 1e15 else cell
    if isinstance(cell, Enum):
        return str(cell.value)
    return cell


def _write_workbook(
    file: IO[bytes], kind: SheetKind, heads: Sequence[str], rows: Sequence[Sequence[Any]]
) -> None:
    from openpyxl import Workbook
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    book = Workbook()
    sheet = book.active
    sheet.title = kind.name
    sheet.freeze_panes = "A2"
    for place, head in enumerate(heads, start=1):
        sheet.cell(1, place, head).font = Font(bold=True)
        widest = max((len(str(row[place - 1])) for row in rows if row[place - 1] is not None), default=0)
        sheet.column_dimensions[get_column_letter(place)].width = min(max(len(head), widest) + 2, 40)
    for number, row in enumerate(rows, start=2):
        for place, value in enumerate(row, start=1):
            if value is None:
                continue
            cell = sheet.cell(number, place, _plain(value))
            if isinstance(value, str):
                cell.data_type = "s"
            elif isinstance(value, date):
                cell.number_format = "yyyy-mm-dd"
    book.save(file)
