"""Which revision a database has, read without touching it, and what is refused before it is opened."""

import sqlite3
from contextlib import closing
from pathlib import Path

from sqlalchemy import Engine, inspect, text

from obslog.errors import ObslogError
from obslog.records.driver_errors import CutShort, NoSuchDatabase, NotReadable
from obslog.records.files.addresses import file_address
from obslog.records.files.cut_short import missing_bytes
from obslog.records.upgrading import known_revisions

UNFINISHED_MOVE = "unfinished move"
"""Stands in the place of a revision while not all of a club has come."""


class EmptyFile(ObslogError):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"{where} is an empty file, not an obslog database.",
            "Name another with --db, or delete the empty file first to start a new database there.",
        )


class NotADatabase(ObslogError):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"{where} is not an obslog database.", "Name the right one with --db; this one was not touched."
        )


class NewerDatabase(ObslogError):
    def __init__(self, where: str, revision: str) -> None:
        super().__init__(
            f"{where} was made by a newer obslog (its revision is {revision}).",
            "Install the newest obslog on this machine too; the database was not touched.",
        )


class UnfinishedMove(ObslogError):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"Not all of the club has come to {where} yet: its move was broken off.",
            "Give the same command again, db move --to ...; it goes on where it stopped.",
        )


def refuse_what_is_no_file(path: Path, where: str) -> None:
    """Raises NoSuchDatabase where something else is there than a file, EmptyFile where nothing is in it."""
    if path.is_dir():
        raise NoSuchDatabase(where, "it is a folder")
    if not path.is_file():
        raise NoSuchDatabase(where, "it is a pipe or a device, not a file")
    if path.stat().st_size == 0:
        raise EmptyFile(where)


def file_revision(path: Path, where: str, busy_timeout_ms: int) -> str:
    """The revision of the database in a file, read without touching the file.

    Raises NoSuchDatabase, EmptyFile, NotReadable, CutShort, NotADatabase, and what the driver raises.
    """
    refuse_what_is_no_file(path, where)
    try:
        missing = missing_bytes(path)
    except PermissionError as error:
        raise NotReadable(where) from error
    if missing:
        raise CutShort(where, missing)
    address = f"{file_address(path.absolute())}?mode=ro"
    try:
        with closing(sqlite3.connect(address, timeout=busy_timeout_ms / 1000, uri=True)) as connection:
            row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
            connection.execute("SELECT 1 FROM acts LIMIT 1")
    except sqlite3.DatabaseError as error:
        if "no such table" in str(error) or error.sqlite_errorname == "SQLITE_NOTADB":
            raise NotADatabase(where) from error
        raise
    if row is None:
        raise NotADatabase(where)
    return str(row[0])


def server_revision(engine: Engine, where: str) -> str | None:
    """The revision of a database on a server; None where it holds no tables yet. Raises NotADatabase."""
    with engine.connect() as connection:
        tables = inspect(connection).get_table_names()
        if not tables:
            return None
        if "alembic_version" not in tables or "acts" not in tables:
            raise NotADatabase(where)
        return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar_one())


def refuse_what_is_not_older(where: str, revision: str, migrations: Path | None = None) -> None:
    """Raises UnfinishedMove, or NewerDatabase where this program does not know the revision."""
    if revision == UNFINISHED_MOVE:
        raise UnfinishedMove(where)
    if revision not in known_revisions(migrations):
        raise NewerDatabase(where, revision)
