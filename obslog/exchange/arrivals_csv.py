"""The arrivals sheet as a file: CSV after RFC 4180, UTF-8, a header row, columns in any order.

Cells of text that a spreadsheet would take for a formula (those that begin with = + - @) are written with an
apostrophe before them, which is taken off again when the sheet comes in.
"""

import csv
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

from obslog.errors import ObslogError, WrongInput, nearest_names, why_not_read
from obslog.exchange.arrivals_rows import (
    COLUMNS,
    NEEDED_COLUMNS,
    RULES,
    TEXT_COLUMNS,
    WORD_COLUMNS,
    Fault,
    SheetRow,
)
from obslog.exchange.formula_guard import guarded, unguarded
from obslog.exchange.spreadsheets.grid import LARGEST_CELL

if TYPE_CHECKING:
    from _csv import Reader

KNOWN_COLUMNS = frozenset(RULES)


class NoSuchSheet(ObslogError):
    def __init__(self, path: Path, why: str) -> None:
        super().__init__(f"{path} cannot be read: {why}.", "Check the name and the folder.")


class NotUtf8(WrongInput):
    def __init__(self, path: Path, line: int) -> None:
        super().__init__(
            f"{path} is not in UTF-8: line {line} has characters of another encoding.",
            "In the spreadsheet, save it again as 'CSV UTF-8'.",
        )


class WrongHeader(WrongInput):
    def __init__(self, path: Path, why: str, hint: str) -> None:
        super().__init__(f"{path}: the header row {why}.", hint)


def read_sheet(path: Path) -> tuple[list[SheetRow], list[Fault]]:
    """The rows that are well formed, and what is wrong with the others.

    Raises NoSuchSheet, NotUtf8, WrongHeader.
    """
    from obslog.exchange.arrivals_cells import checked_rows

    cells: list[dict[str, Any]] = []
    faults: list[Fault] = []
    csv.field_size_limit(LARGEST_CELL)
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            lines = csv.reader(file, strict=True)
            _read_cells(path, lines, cells, faults)
    except UnicodeDecodeError as error:
        raise NotUtf8(path, _line_of_bad_character(path)) from error
    except csv.Error as error:
        raise WrongInput(
            f"{path} is not a CSV sheet: {error} in line {lines.line_num}.",
            "Save it as CSV with commas, and import it again.",
        ) from error
    except OSError as error:
        raise NoSuchSheet(path, why_not_read(error, path)) from error
    return checked_rows(cells, faults), faults


def _read_cells(path: Path, lines: "Reader", cells: list[dict[str, Any]], faults: list[Fault]) -> None:
    header = [cell.strip().lower() for cell in next(lines, [])]
    if any("\x00" in cell for cell in header):  # two bytes a character, without the mark that says so
        raise NotUtf8(path, 1)
    _check_header(path, header)
    words, texts = WORD_COLUMNS.intersection(header), TEXT_COLUMNS.intersection(header)
    before = lines.line_num
    for record in lines:
        line, before = before + 1, lines.line_num
        row: dict[str, Any] = {
            name: cell for name, cell in zip(header, map(str.strip, record), strict=False) if cell
        }
        if len(record) != len(header):
            if row:
                faults.append(Fault(line, "", f"has {len(record)} cells, but the header has {len(header)}."))
            continue
        _tidy(row, ",".join(record), words, texts)
        if row:
            row["line"] = line
            cells.append(row)


def _tidy(row: dict[str, Any], cells: str, words: frozenset[str], texts: frozenset[str]) -> None:
    """Bring a row into the form in which it is kept; `cells` is all of it, to be looked at once."""
    for name in words:
        if name in row:
            row[name] = row[name].lower()
    if "'" in cells:
        for name in texts:
            if row.get(name, "").startswith("'"):
                row[name] = unguarded(row[name])
                if not row[name]:
                    del row[name]
    if cells.isprintable() and "  " not in cells:
        return
    if "target" in row:
        row["target"] = " ".join(row["target"].split())
    if "note" in row:
        row["note"] = row["note"].replace("\r\n", "\n").replace("\r", "\n")


def _check_header(path: Path, header: Sequence[str]) -> None:
    if not any(header):
        raise WrongHeader(path, "is missing", f"The first line names the columns: {','.join(COLUMNS)}")
    unknown = [name for name in header if name not in KNOWN_COLUMNS]
    if len(header) == 1 and ";" in header[0]:
        raise WrongHeader(path, "has semicolons", "Save the sheet as CSV with commas between the cells.")
    if unknown:
        near = nearest_names(unknown[0], sorted(KNOWN_COLUMNS), most=1)
        hint = f"Is {unknown[0]!r} meant to be {near[0]}?" if near else "Take unknown columns out."
        raise WrongHeader(
            path,
            f"has unknown columns: {', '.join(map(repr, unknown))}",
            f"{hint} Columns: {', '.join(COLUMNS)}, local",
        )
    twice = sorted({name for name in header if header.count(name) > 1})
    if twice:
        raise WrongHeader(path, f"names {twice[0]} twice", "Keep one of the two columns.")
    missing = [name for name in NEEDED_COLUMNS if name not in header]
    if "utc" not in header and "local" not in header:
        missing.append("utc (or local)")
    if missing:
        raise WrongHeader(
            path, f"lacks {', '.join(missing)}", "Add the columns; a template: obslog export arrivals"
        )


def _line_of_bad_character(path: Path) -> int:
    data = path.read_bytes()
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        return data.count(b"\n", 0, error.start) + 1
    return 1


def write_sheet(file: IO[str], rows: Iterable[Mapping[str, object]]) -> int:
    """Write rows of COLUMNS, blank where a value is None; gives their number. The file is opened with newline=""."""
    writer = csv.writer(file)
    writer.writerow(COLUMNS)
    count = 0
    for row in rows:
        writer.writerow([_written(name, row.get(name)) for name in COLUMNS])
        count += 1
    return count


def _written(column: str, value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return repr(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    return guarded(str(value)) if column in TEXT_COLUMNS else str(value)
