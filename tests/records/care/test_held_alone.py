"""A file that is held alone cannot be read or written by anybody else, and is not taken from those who have it open."""

import os
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from obslog.records.care.held_alone import OpenElsewhere, held_alone, programs_with
from obslog.records.database import Database
from tests.records.children import output, start

HOLD_OPEN = """
database = open_database(sys.argv[1], NOW, print)
with database.read() as session:
    session.connection()
print("open", flush=True)
sys.stdin.read()
"""
pytestmark = pytest.mark.skipif(os.name != "posix", reason="Windows holds open files itself")


def test_what_waited_in_the_log_is_in_the_file_and_nothing_lies_beside_it(sqlite_path: Path) -> None:
    folder = sqlite_path.parent / "as-killed"
    folder.mkdir()
    with closing(sqlite3.connect(sqlite_path, isolation_level=None)) as file:
        file.execute("INSERT INTO members (id, name, name_key) VALUES ('1', 'Ines', 'ines')")
        for ending in ("", "-wal", "-shm"):
            shutil.copy(f"{sqlite_path}{ending}", folder)
    with held_alone(folder / "club.db"):
        assert [path.name for path in folder.iterdir()] == ["club.db"]
        assert b"Ines" in (folder / "club.db").read_bytes()
    assert [path.name for path in folder.iterdir()] == ["club.db"]


def test_nobody_else_reads_or_writes_meanwhile(sqlite_path: Path) -> None:
    with (
        held_alone(sqlite_path),
        closing(sqlite3.connect(sqlite_path, timeout=0)) as other,
        pytest.raises(sqlite3.OperationalError, match="locked"),
    ):
        other.execute("SELECT count(*) FROM members")
    with closing(sqlite3.connect(sqlite_path, timeout=0)) as other:
        assert other.execute("SELECT count(*) FROM members").fetchone() == (0,)


def test_on_windows_it_is_let_go_of_only_right_before_another_takes_its_place(
    sqlite_path: Path, windows_files: list[str]
) -> None:
    with held_alone(sqlite_path) as let_go:
        with (
            closing(sqlite3.connect(sqlite_path, timeout=0)) as other,
            pytest.raises(sqlite3.OperationalError, match="locked"),
        ):
            other.execute("SELECT count(*) FROM members")
        let_go()
        sqlite_path.replace(sqlite_path.with_name("aside.db"))
    assert windows_files == []


def test_a_file_that_this_program_has_open_is_not_taken_from_it(sqlite_database: Database) -> None:
    with sqlite_database.read() as session:
        session.connection()
        with pytest.raises(OpenElsewhere), held_alone(Path(sqlite_database.where)):
            pytest.fail("it is open")


@pytest.mark.skipif(not Path("/proc/self/fd").exists(), reason="only some systems tell who has a file open")
def test_another_program_that_has_it_open_is_named_even_where_it_does_nothing(sqlite_path: Path) -> None:
    child = start(HOLD_OPEN, sqlite_path, stdin=True)
    assert child.stdout is not None
    assert child.stdout.readline() == "open\n"
    with pytest.raises(OpenElsewhere, match=f"process {child.pid}"), held_alone(sqlite_path):
        pytest.fail("it is open")
    output(child)
    with held_alone(sqlite_path):
        assert programs_with(sqlite_path) == []


def test_without_the_system_telling_the_locks_tell(
    sqlite_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from obslog.records.care import held_alone as module

    monkeypatch.setattr(module, "programs_with", lambda path: [])
    child = start(HOLD_OPEN, sqlite_path, stdin=True)
    assert child.stdout is not None
    child.stdout.readline()
    with pytest.raises(OpenElsewhere), held_alone(sqlite_path):
        pytest.fail("it is open")
    output(child)


def test_a_file_that_is_damaged_or_none_is_held_as_far_as_can_be(tmp_path: Path) -> None:
    path = tmp_path / "club.db"
    with held_alone(path):
        assert not path.exists()
    for content in (b"", b"no database at all" * 500):
        path.write_bytes(content)
        with held_alone(path):
            assert path.read_bytes() == content
