"""Arrivals in and out of the log as sheets."""

from datetime import datetime
from pathlib import Path
from typing import IO

from obslog.club.intake import Taken, Tick, take_in
from obslog.club.outgoing import SheetChoice, sheet_rows
from obslog.exchange.arrivals_sheet import read_sheet, write_sheet
from obslog.records.opening import Database


def import_arrivals(
    database: Database, path: Path, now: datetime, *, create: bool = False, tick: Tick = lambda _done: None
) -> Taken:
    """Take a sheet in: whole or not at all, and what is on record already is not added again.

    Raises NoSuchSheet, NotUtf8, WrongHeader, SheetRefused.
    """
    rows, faults = read_sheet(path)
    return take_in(database, path.name, rows, faults, now, create=create, tick=tick)


def export_arrivals(database: Database, file: IO[str], choice: SheetChoice) -> int:
    """Write the chosen arrivals as a sheet that can be taken in again; gives the number of rows."""
    with sheet_rows(database, choice) as rows:
        return write_sheet(file, rows)
