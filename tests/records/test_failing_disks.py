"""What SQLite and the system say of a disk is told by what it is: full, failing, or no place for the files beside."""

import errno
import shutil
import sqlite3
from pathlib import Path
from types import SimpleNamespace

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


@pytest.mark.parametrize(("free", "failure"), [(0, DiskFull), (1 << 30, DiskRefused)])
def test_of_the_shared_file_the_disk_itself_says_whether_it_is_full(
    monkeypatch: pytest.MonkeyPatch, free: int, failure: type[ObslogError]
) -> None:
    """SQLite has one name for both, SQLITE_IOERR_SHMSIZE (its page "Result and Error Codes")."""
    monkeypatch.setattr(shutil, "disk_usage", lambda path: SimpleNamespace(free=free))
    error = sqlite3.OperationalError("disk I/O error")
    error.sqlite_errorname = "SQLITE_IOERR_SHMSIZE"
    with pytest.raises(failure), in_sentences("club.db"):
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
