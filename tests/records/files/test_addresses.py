"""Addresses of files are such that SQLite finds the file, wherever it lies."""

import sqlite3
from contextlib import closing
from pathlib import Path, PurePosixPath, PureWindowsPath

import pytest

from obslog.records.files.addresses import file_address


@pytest.mark.parametrize(
    ("path", "address"),
    [
        (PurePosixPath("/home/ines/club.db"), "file:///home/ines/club.db"),
        (PurePosixPath("/home/ines/50 % dark?/club #2.db"), "file:///home/ines/50%20%25%20dark%3F/club%20%232.db"),
        (PureWindowsPath(r"C:\Users\Ines\club.db"), "file:///C:/Users/Ines/club.db"),
        (PureWindowsPath(r"\\server\share\club.db"), "file:////server/share/club.db"),
    ],
)  # fmt: skip
def test_the_address_has_no_machine_in_the_place_that_sqlite_refuses(
    path: PurePosixPath | PureWindowsPath, address: str
) -> None:
    assert file_address(path) == address


def test_sqlite_finds_what_it_names(tmp_path: Path) -> None:
    path = tmp_path / "50 % dark? #2.db"
    with closing(sqlite3.connect(path)) as file:
        file.execute("CREATE TABLE nights (id)")
    with closing(sqlite3.connect(f"{file_address(path)}?mode=ro", uri=True)) as file:
        assert file.execute("SELECT count(*) FROM nights").fetchone() == (0,)
