"""A copy that somebody wants to go back to: what it holds, and every reason not to."""

import sqlite3
from collections.abc import Mapping
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from obslog.errors import ObslogError
from obslog.records.care.copying import as_it_lies, rows_of
from obslog.records.care.damage import damage_in, first_few
from obslog.records.driver_errors import CutShort, DatabaseInUse, files_in_sentences, in_sentences
from obslog.records.files.addresses import file_address
from obslog.records.files.cut_short import missing_bytes

ANOTHER_COPY = "Nothing was changed. Take another copy."


class NoSuchCopy(ObslogError):
    def __init__(self, copy: Path) -> None:
        super().__init__(
            f"There is no file {copy}.",
            "Nothing was changed. Name a copy that db backup or an upgrade has made.",
        )


class CopyIsFolder(ObslogError):
    def __init__(self, copy: Path) -> None:
        super().__init__(f"{copy} is a folder.", "Nothing was changed. Name one of the copies in it.")


class EmptyCopy(ObslogError):
    def __init__(self, copy: Path) -> None:
        super().__init__(f"{copy} is an empty file.", ANOTHER_COPY)


class CopyCutShort(CutShort):
    hint_then = ANOTHER_COPY


class NotACopy(ObslogError):
    def __init__(self, copy: Path) -> None:
        super().__init__(f"{copy} is not an obslog database.", ANOTHER_COPY)


class NewerCopy(ObslogError):
    def __init__(self, copy: Path, revision: str) -> None:
        super().__init__(
            f"{copy} was made by a newer obslog (its revision is {revision}).",
            "Nothing was changed. Install the newest obslog on this machine, then try again.",
        )


class DamagedCopyFound(ObslogError):
    def __init__(self, copy: Path, found: list[str]) -> None:
        super().__init__(f"{copy} is damaged itself.", ANOTHER_COPY)
        self.details = first_few(found)


@dataclass(frozen=True, slots=True)
class Looked:
    """What a sound file holds: its revision, and the number of rows of each table."""

    revision: str
    rows: Mapping[str, int]


def look_at(copy: Path, known: set[str]) -> Looked:
    """Read a copy through, without changing it or anything beside it; `known` are the revisions of this program.

    Raises NoSuchCopy, CopyIsFolder, EmptyCopy, CopyCutShort, NotACopy, NewerCopy, DamagedCopyFound, DatabaseInUse, or
    what the disk refuses.
    """
    _check_file(copy)
    try:
        return _looked(copy, known)
    except sqlite3.DatabaseError as error:
        name = error.sqlite_errorname or ""
        if name == "SQLITE_NOTADB":
            raise NotACopy(copy) from error
        if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
            raise DatabaseInUse(str(copy)) from error
        if name.startswith("SQLITE_CORRUPT"):
            raise DamagedCopyFound(copy, [str(error)]) from error
        with in_sentences(str(copy)):
            raise
    except UnicodeDecodeError as error:  # what SQLite says of a damaged file may hold a piece of it
        raise DamagedCopyFound(copy, []) from error


def _check_file(copy: Path) -> None:
    """Whether it is a file, and all of it is there."""
    with files_in_sentences(str(copy)):
        if copy.is_dir():
            raise CopyIsFolder(copy)
        if not copy.exists():
            raise NoSuchCopy(copy)
        if not copy.is_file():
            raise NotACopy(copy)
        if copy.stat().st_size == 0:
            raise EmptyCopy(copy)
        if missing := missing_bytes(copy):
            raise CopyCutShort(str(copy), missing)


def _looked(copy: Path, known: set[str]) -> Looked:
    with closing(reading(copy)) as file:
        revision = revision_in(file)
        if revision is None:
            raise NotACopy(copy)
        if revision not in known:
            raise NewerCopy(copy, revision)
        if found := damage_in(file):
            raise DamagedCopyFound(copy, found)
        return Looked(revision, rows_of(file))


def reading(path: Path) -> sqlite3.Connection:
    """A file opened to be read, with what waits in the log beside it, where there is one."""
    log = path.with_name(f"{path.name}-wal")
    if log.exists() and log.stat().st_size:
        return sqlite3.connect(f"{file_address(path.absolute())}?mode=ro", uri=True)
    return as_it_lies(path)


def revision_in(file: sqlite3.Connection) -> str | None:
    """The revision of a file's tables; None where they are not obslog's."""
    tables = {name for (name,) in file.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if not {"alembic_version", "acts"} <= tables:
        return None
    row = file.execute("SELECT version_num FROM alembic_version").fetchone()
    return None if row is None else str(row[0])
