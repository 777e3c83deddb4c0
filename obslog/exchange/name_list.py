"""A list of names from a file: CSV with a column of objects, or one name a line."""

import csv
from pathlib import Path

from obslog.errors import WrongInput, why_not_read
from obslog.exchange.arrivals_csv import NoSuchSheet, NotUtf8

NAME_COLUMNS = ("target", "object", "name", "designation")
MOST_NAMES = 20_000


class NoNames(WrongInput):
    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path} holds no names.",
            f"Write one name a line, or a CSV file with a column {' or '.join(NAME_COLUMNS)}.",
        )


class TooManyNames(WrongInput):
    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} holds more than {MOST_NAMES} names.", "Cut it into parts.")


def read_names(path: Path) -> list[str]:
    """The names in a file, in its order: of the column so headed, or the first of each row where none is.

    Raises NoSuchSheet, NotUtf8, NoNames, TooManyNames.
    """
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            rows = [row for row in csv.reader(file) if any(cell.strip() for cell in row)]
    except UnicodeDecodeError as error:
        raise NotUtf8(path, 1 + error.object[: error.start].count(b"\n")) from error
    except (OSError, csv.Error) as error:
        raise NoSuchSheet(path, why_not_read(error, path)) from error
    header = [cell.strip().casefold() for cell in rows[0]] if rows else []
    column = next((header.index(name) for name in NAME_COLUMNS if name in header), None)
    body, place = (rows, 0) if column is None else (rows[1:], column)
    names = [row[place].strip() for row in body if len(row) > place and row[place].strip()]
    if not names:
        raise NoNames(path)
    if len(names) > MOST_NAMES:
        raise TooManyNames(path)
    return names
