"""A folder of sheets in again, as a whole club, into a database in which nothing is: whole or not at all.

Every cell is held to what may be typed there, every row to the rules of the database; keys stay what they are. The
history that comes along is the club's; only what rows say beyond it is noted, as one act of the import.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sqlalchemy import Table, exists, select
from sqlalchemy.orm import Session

from obslog.club.whole_club.beyond_log import note_beyond_log
from obslog.club.whole_club.kinds_agree import kinds_that_disagree
from obslog.club.whole_club.row_loader import LostRows
from obslog.club.whole_club.sheet_intake import take_sheet
from obslog.club.whole_club.sheet_tables import LEFT_OUT_TABLES, tables_to_go
from obslog.errors import ObslogError, nearest_names, quoted
from obslog.exchange.package.description import DESCRIPTION
from obslog.exchange.package.faults import FaultList, FolderRefused
from obslog.exchange.package.folder import NoClubInFolder, Package, read_package
from obslog.records.database import Database
from obslog.records.tables.schema import metadata
from obslog.records.upgrading import SCHEMA_REVISION

Tick = Callable[[int], None]


class NotEmpty(ObslogError):
    def __init__(self, where: str, table: str, folder: Path) -> None:
        super().__init__(
            f"{where} is not empty: there are {table.replace('_', ' ')} on record.",
            f"A whole club goes into a new database: obslog --db NEW.db import all {quoted(str(folder))}",
        )


class NewerFolder(ObslogError):
    def __init__(self, folder: Path, revision: str) -> None:
        super().__init__(
            f"{folder} was written by a newer obslog (its revision is {revision}).",
            "Install the newest obslog on this machine too; nothing was brought in.",
        )


@dataclass(frozen=True, slots=True)
class SheetTaken:
    """How many rows a sheet gave its table."""

    table: str
    rows: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ClubTaken:
    """A club brought in from a folder of sheets.

    `not_in_folder` are tables that stay empty; `not_read` files that the description does not name; `differ` sheets
    that are not as the description says, which were taken all the same since that was asked for. `noted` counts the
    records of which the history in the folder says nothing, or something else, and which the act of the import tells.
    """

    folder: str
    rows: int
    sheets: list[SheetTaken]
    not_in_folder: list[str]
    not_read: list[str]
    differ: list[str]
    noted: int


def import_all(
    database: Database,
    folder: Path,
    now: datetime,
    *,
    as_it_stands: bool = False,
    tick: Tick = lambda _done: None,
) -> ClubTaken:
    """Bring a club in. Raises NoClubInFolder, NewerFolder, NotEmpty, FolderRefused with every fault."""
    faults = FaultList()
    package = read_package(folder, faults)
    if package.revision is not None and package.revision > SCHEMA_REVISION:
        raise NewerFolder(folder, package.revision)
    tables = tables_to_go(with_private=True)
    _know_all(package, tables, faults)
    taken, differ = [], []
    with database.write(now, f"import all {folder.name or folder}") as session:
        _refuse_what_is_there(session, database.where, folder)
        lost = LostRows()
        for table in tables:
            resource = package.resources.get(table.name)
            if resource is None or faults.is_full:
                continue
            outcome = take_sheet(session, table, folder, resource, faults, lost, tick)
            if outcome.differs and not as_it_stands:
                faults.add(resource.file, outcome.differs, "If it was changed on purpose: --as-it-stands")
            elif outcome.differs:
                differ.append(f"{resource.file} {outcome.differs}")
            taken.append(SheetTaken(table.name, outcome.rows))
        if not faults:
            kinds_that_disagree(session, package, faults)
        if faults:
            raise FolderRefused(str(folder), faults)
        noted = note_beyond_log(session)
    return ClubTaken(
        folder=str(folder),
        rows=sum(sheet.rows for sheet in taken),
        sheets=taken,
        not_in_folder=[table.name for table in tables if table.name not in package.resources],
        not_read=list(package.not_named),
        differ=differ,
        noted=noted,
    )


def rows_described(folder: Path) -> int:
    """How many rows the description of a folder names, for the length of a bar."""
    try:
        package = read_package(folder, FaultList())
    except NoClubInFolder:
        return 0
    return sum(resource.rows or 0 for resource in package.resources.values())


def _know_all(package: Package, tables: list[Table], faults: FaultList) -> None:
    """Refuse a sheet of which there is no table: what stands in it would be lost without a word."""
    known = [table.name for table in tables]
    if not package.resources.keys() & set(known):
        raise NoClubInFolder(package.folder, f"{DESCRIPTION} names no sheet of a club.")
    for name in package.resources:
        if name in LEFT_OUT_TABLES or name not in known:
            near = nearest_names(name, known, most=1)
            meant = f"Is it meant to be {near[0]!r}? " if near else ""
            faults.add(
                DESCRIPTION, f"{name!r} is no table of a club.", f"{meant}Take it out of the description."
            )


def _refuse_what_is_there(session: Session, where: str, folder: Path) -> None:
    """Keys are kept, so two clubs cannot be brought together here. Raises NotEmpty."""
    for table in metadata.sorted_tables:
        if table.name not in LEFT_OUT_TABLES and session.scalar(select(exists(select(1).select_from(table)))):
            raise NotEmpty(where, table.name, folder)
