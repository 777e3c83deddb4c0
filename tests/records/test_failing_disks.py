"""What SQLite and the system say of a disk is told by what it is: full, failing, or no place for the files beside."""

import errno
import sqlite3
from pathlib import Path

import pytest

from obslog.errors import ObslogError
from obslog.records.driver_errors import (
    BesideRefused,
    DamagedDatabase,
    DatabaseInUse,
    DiskFull,
    DiskRefused,
    NoSuchDatabase,
    files_in_sentences,
    in_sentences,
)


def test_a_disk_without_room_for_the_shared_file_is_a_full_disk() -> None:
    """SQLite's name for what it says, as "disk I/O error", where a disk was full before the file was opened."""
    error = sqlite3.OperationalError("disk I/O error")
    error.sqlite_errorname = "SQLITE_IOERR_SHMSIZE"
    with pytest.raises(DiskFull, match=r"no room left for club\.db"), in_sentences("club.db"):
        raise error


@pytest.mark.parametrize(
    ("name", "failure"),
    [
        ("SQLITE_IOERR_SHORT_READ", DamagedDatabase),
        ("SQLITE_IOERR_WRITE", DiskRefused),
        ("SQLITE_IOERR_FSYNC", DiskRefused),
        ("SQLITE_IOERR", DiskRefused),
    ],
)
def test_a_disk_that_fails_is_told_apart_from_one_that_is_full(name: str, failure: type[ObslogError]) -> None:
    error = sqlite3.OperationalError("disk I/O error")
    error.sqlite_errorname = name
    with pytest.raises(failure), in_sentences("club.db"):
        raise error
    with pytest.raises(DiskRefused), files_in_sentences("club.db"):
        raise OSError(errno.EIO, "Input/output error")


def test_a_file_that_is_there_and_cannot_be_opened_is_told_apart_from_none(sqlite_path: Path) -> None:
    """SQLite says the same of both."""
    for where, failure in ((sqlite_path, BesideRefused), (sqlite_path.with_name("none.db"), NoSuchDatabase)):
        error = sqlite3.OperationalError("unable to open database file")
        error.sqlite_errorname = "SQLITE_CANTOPEN"
        with pytest.raises(failure), in_sentences(str(where)):
            raise error


@pytest.mark.parametrize("code", [32, 33])
def test_a_file_that_another_program_has_open_is_told_as_that_on_windows(code: int) -> None:
    error = PermissionError(13, "The process cannot access the file")
    error.winerror = code  # type: ignore[attr-defined,unused-ignore]
    with pytest.raises(DatabaseInUse, match=r"club\.db"), files_in_sentences("club.db"):
        raise error
