"""Copies of a database's file, made while it may be in use, and looked at before they count as made."""

import sqlite3
from collections.abc import Callable, Mapping
from contextlib import ExitStack, closing, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from sqlalchemy import Engine

from obslog.errors import ObslogError
from obslog.files.atomic_file import whole_file
from obslog.records.care.damage import damage_in
from obslog.records.driver_errors import DamagedDatabase, NoSuchDatabase, files_in_sentences, in_sentences
from obslog.records.engine import file_of
from obslog.records.files.addresses import file_address

STAMP = "%Y%m%dT%H%M%SZ"


class OpenDatabase(Protocol):
    """What the care of a file needs of an open database."""

    @property
    def engine(self) -> Engine: ...
    @property
    def where(self) -> str: ...
    @property
    def only_read(self) -> bool: ...
    @property
    def refusal(self) -> Callable[[str], ObslogError]: ...


class CopyExists(ObslogError):
    def __init__(self, copy: Path) -> None:
        super().__init__(
            f"{copy} is there already.", "Name another file for the copy; nothing was overwritten."
        )


class ServerBackup(ObslogError):
    def __init__(self) -> None:
        super().__init__("This database is on a server.", "Back it up with the server's own tool, pg_dump.")


class CopyDiffers(ObslogError):
    """What was written is not what is on record: the disk, or a program that writes past the database's locks."""

    def __init__(self, copy: Path, why: str) -> None:
        super().__init__(
            f"The copy {copy} did not come out as the database is: {why}.",
            "It was not kept. Try another disk, and look at this one: obslog db check.",
        )


class NoPlaceForCopy(NoSuchDatabase):
    """The name, the folder or the disk of a copy, and not the database's own."""

    def __init__(self, copy: Path, why: str) -> None:
        no_folder = not copy.parent.is_dir()
        super().__init__(str(copy), f"there is no folder {copy.parent}" if no_folder else why)
        self.message = f"The copy {copy} cannot be made: {self.why}."
        self.hint = (
            "Nothing was changed. See whether the memory stick is in, or name a folder that is there."
            if no_folder
            else "Nothing was changed. Look at the name, at the rights of the folder and the room on its disk."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Copied:
    """A copy that was looked at: it holds the same rows, table by table, and no damage that the database has not.

    `damage` is what is wrong with the database itself, and so with the copy.
    """

    file: Path
    bytes: int
    rows: Mapping[str, int]
    damage: list[str]


def back_up(engine: Engine, copy: Path) -> Copied:
    """Copy a live SQLite database, with what is still in its log; a plain copy of the file would miss that.

    The copy comes into being as a whole, after it was read through: its integrity and references, and the number of
    rows of each table. Raises CopyExists, ServerBackup, CopyDiffers, or what the disk refuses.
    """
    if engine.dialect.name != "sqlite":
        raise ServerBackup
    if copy.exists():
        raise CopyExists(copy)
    try:
        with files_in_sentences(str(copy)), in_sentences(str(copy)):
            try:
                with whole_file(copy, private=True, lasting=True) as draft:
                    rows, damage = _copied(engine, draft, copy)
            except FileExistsError as error:
                raise CopyExists(copy) from error
    except DamagedDatabase as error:  # so much that not even its tables can be found
        raise DamagedDatabase(str(file_of(engine))) from error
    except NoSuchDatabase as error:
        raise NoPlaceForCopy(copy, error.why) from error
    with files_in_sentences(str(copy)):
        return Copied(file=copy, bytes=copy.stat().st_size, rows=rows, damage=damage)


def rows_of(file: sqlite3.Connection) -> dict[str, int]:
    """How many rows each table of a file holds, by the tables' names, of those that can be counted."""
    query = "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT GLOB 'sqlite_*' ORDER BY name"
    tables = [name for (name,) in file.execute(query)]
    found: dict[str, int] = {}
    for table in tables:
        with suppress(sqlite3.DatabaseError):
            (found[table],) = file.execute(f'SELECT count(*) FROM "{table}"').fetchone()
    return found


def _copied(engine: Engine, draft: Path, copy: Path) -> tuple[dict[str, int], list[str]]:
    """Copy into the draft and look at it; the rows of each table, and what damage the database itself has."""
    with ExitStack() as held_open:
        with in_sentences(str(file_of(engine))):  # what hinders here is not the copy's
            connection = held_open.enter_context(engine.connect())
            # From here on all sees one moment.
            connection.exec_driver_sql("SELECT 1 FROM sqlite_master").close()
        source = connection.connection.driver_connection
        assert isinstance(source, sqlite3.Connection)
        rows = rows_of(source)
        _copy_into(source, draft)
        with closing(as_it_lies(draft)) as written:
            found, held = damage_in(written), rows_of(written)
        if held != rows:
            differing = ", ".join(
                sorted(table for table in {*rows, *held} if rows.get(table) != held.get(table))
            )
            raise CopyDiffers(copy, f"it does not hold as many rows ({differing})")
        if found and not damage_in(source):
            raise CopyDiffers(copy, found[0])
    return rows, found


def _copy_into(source: sqlite3.Connection, draft: Path) -> None:
    with closing(sqlite3.connect(draft)) as target:
        source.backup(target)


def as_it_lies(path: Path) -> sqlite3.Connection:
    """A file opened to be read as it lies there, without any file beside it: nobody may be writing to it."""
    return sqlite3.connect(f"{file_address(path.absolute())}?mode=ro&immutable=1", uri=True)
