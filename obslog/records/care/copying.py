"""Copies of a database's file, made while it may be in use."""

import sqlite3
from contextlib import closing
from pathlib import Path

from sqlalchemy import Engine

from obslog.errors import ObslogError
from obslog.records.atomic_file import whole_file
from obslog.records.driver_errors import files_in_sentences, in_sentences


class CopyExists(ObslogError):
    def __init__(self, copy: Path) -> None:
        super().__init__(
            f"{copy} is there already.", "Name another file for the copy; nothing was overwritten."
        )


class ServerBackup(ObslogError):
    def __init__(self) -> None:
        super().__init__("This database is on a server.", "Back it up with the server's own tool, pg_dump.")


def back_up(engine: Engine, copy: Path) -> None:
    """Copy a live SQLite database, with what is still in its log; a plain copy of the file would miss that.

    The copy comes into being as a whole. Raises CopyExists, ServerBackup, or what the disk refuses.
    """
    if engine.dialect.name != "sqlite":
        raise ServerBackup
    if copy.exists():
        raise CopyExists(copy)
    with files_in_sentences(str(copy)), in_sentences(str(copy)):
        try:
            with whole_file(copy, private=True) as draft:
                _copy_into(engine, draft)
        except FileExistsError as error:
            raise CopyExists(copy) from error


def _copy_into(engine: Engine, copy: Path) -> None:
    with engine.connect() as connection, closing(sqlite3.connect(copy)) as target:
        source = connection.connection.driver_connection
        assert isinstance(source, sqlite3.Connection)
        source.backup(target)
