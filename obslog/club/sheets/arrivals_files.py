"""Arrivals in and out of the log as sheets."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import IO

from obslog.club.sheets.arrivals_export import SheetChoice, sheet_rows
from obslog.club.sheets.arrivals_import import ImportResult, Tick, take_in
from obslog.exchange.arrivals_csv import read_sheet, write_sheet
from obslog.files.atomic_file import whole_file
from obslog.files.output_files import output_in_sentences
from obslog.records.database import Database


def import_arrivals(
    database: Database, path: Path, now: datetime, *, create: bool = False, tick: Tick = lambda _done: None
) -> ImportResult:
    """Take a sheet in: whole or not at all, and what is on record already is not added again.

    Raises NoSuchSheet, NotUtf8, WrongHeader, SheetRefused.
    """
    with _no_collection():
        rows, faults = read_sheet(path)
        return take_in(database, path.name, rows, faults, now, create=create, tick=tick)


def export_arrivals(database: Database, file: IO[str], choice: SheetChoice) -> int:
    """Write the chosen arrivals as a sheet that can be taken in again; gives the number of rows."""
    with sheet_rows(database, choice) as rows:
        return write_sheet(file, rows)


def export_arrivals_to(database: Database, path: Path, choice: SheetChoice) -> int:
    """Write the chosen arrivals to a file that is not there yet; a failure leaves none behind.

    Raises UnknownName, and what `output_in_sentences` raises.
    """
    with (
        output_in_sentences(path),
        whole_file(path) as unfinished,
        unfinished.open("w", encoding="utf-8", newline="") as file,
    ):
        return export_arrivals(database, file, choice)


def arrivals_as_records(database: Database, choice: SheetChoice) -> list[dict[str, object]]:
    """The chosen arrivals as records with the sheet's columns."""
    with sheet_rows(database, choice) as rows:
        return [dict(row) for row in rows]


@contextmanager
def _no_collection() -> Iterator[None]:
    """No search for cyclic garbage meanwhile: with some 100,000 rows alive and no cycles it doubles the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
