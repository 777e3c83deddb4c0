"""Files and folders that one may not write, or not even read: what can be read is, and each is told as what it is."""

import os
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing
from datetime import datetime
from pathlib import Path

import pytest

from obslog.records.driver_errors import NoSuchDatabase
from obslog.records.looking.read_only import open_to_look
from obslog.records.opening import open_database
from tests.records.children import output, start
from tests.records.test_driver_errors import ADD_MANY, READ_AND_ADD, member_names

NOBODY = 65534
BECOME_NOBODY = f"""
import os
from obslog.records import upgrading
from obslog.records.care import copying
from obslog.records.undoing import undoing
from obslog.records.looking.read_only import open_to_look
from obslog.records.tables import logbook_tables
if os.geteuid() == 0:
    os.setgroups([])
    os.setgid({NOBODY})
    os.setuid({NOBODY})
"""

ONLY_LOOK = """
try:
    open_to_look(sys.argv[1])
except ObslogError as error:
    print(type(error).__name__)
"""


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder outside of the tests' own, whose upper folders everybody may enter."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        yield Path(folder)
        Path(folder).chmod(0o755)


def test_a_file_that_may_not_be_written_is_told(sqlite_path: Path, open_folder: Path) -> None:
    path = Path(shutil.copy(sqlite_path, open_folder))
    open_folder.chmod(0o777)
    path.chmod(0o444)
    assert output(start(BECOME_NOBODY + ADD_MANY, path)) == "NotWritable\n"
    assert member_names(path) == []


def test_a_folder_that_may_not_be_written_is_told(open_folder: Path) -> None:
    open_folder.chmod(0o555)
    assert output(start(BECOME_NOBODY + ADD_MANY, open_folder / "club.db")) == "NotWritable\n"
    assert list(open_folder.iterdir()) == []


def with_a_member(sqlite_path: Path, folder: Path) -> Path:
    with closing(sqlite3.connect(sqlite_path)) as file:
        key = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
        file.execute("INSERT INTO members (id, name, name_key) VALUES (?, 'Ines', 'ines')", [key])
        file.commit()
    return Path(shutil.copy(sqlite_path, folder))


@pytest.mark.parametrize("folders_rights", [0o555, 0o777])
def test_what_may_only_be_read_is_read_with_a_word(
    sqlite_path: Path, open_folder: Path, folders_rights: int
) -> None:
    """On a stick that is locked, or as another account's: SQLite would make files beside it even to read."""
    path = with_a_member(sqlite_path, open_folder)
    path.chmod(0o444)
    open_folder.chmod(folders_rights)
    said = output(start(BECOME_NOBODY + READ_AND_ADD, path)).splitlines()
    assert said[-2:] == ["['Ines']", "NotWritable"]
    if folders_rights == 0o555:
        assert said[0] == f"{path} may not be written here: it can be read, but nothing can be recorded."


def test_what_waits_beside_a_file_that_may_only_be_read_is_not_passed_over(
    sqlite_path: Path, open_folder: Path
) -> None:
    path = with_a_member(sqlite_path, open_folder)
    path.with_name(f"{path.name}-wal").write_bytes(b"not all of it lies in the file")
    path.with_name(f"{path.name}-wal").chmod(0o444)
    path.chmod(0o444)
    open_folder.chmod(0o555)
    assert output(start(BECOME_NOBODY + READ_AND_ADD, path)) in ("BesideRefused\n", "NotWritable\n")


def test_what_may_not_be_read_is_told_as_that(sqlite_path: Path, open_folder: Path) -> None:
    path = with_a_member(sqlite_path, open_folder)
    path.chmod(0o000)
    assert output(start(BECOME_NOBODY + READ_AND_ADD, path)) == "NotReadable\n"
    path.chmod(0o644)
    open_folder.chmod(0o600)
    assert output(start(BECOME_NOBODY + READ_AND_ADD, path)) == "NotReadable\n"


def test_what_may_not_be_read_is_told_as_that_to_who_only_looks(sqlite_path: Path, open_folder: Path) -> None:
    path = with_a_member(sqlite_path, open_folder)
    path.chmod(0o000)
    assert output(start(BECOME_NOBODY + ONLY_LOOK, path)) == "NotReadable\n"
    open_folder.chmod(0o600)
    assert output(start(BECOME_NOBODY + ONLY_LOOK, path)) == "NotReadable\n"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes with names")
def test_a_pipe_is_no_empty_file(tmp_path: Path, now: datetime, said: list[str]) -> None:
    """To delete it, as is advised of an empty file, would be wrong; to open it would wait for ever."""
    pipe = tmp_path / "club.db"
    os.mkfifo(pipe)
    with pytest.raises(NoSuchDatabase, match="a pipe or a device"):
        open_database(str(pipe), now, said.append)
    with pytest.raises(NoSuchDatabase, match="a pipe or a device"):
        open_to_look(str(pipe))
