"""Going back to a copy: all of it or nothing, and the file of before stays under another name."""

import os
import shutil
import stat
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import text

from obslog.errors import ObslogError
from obslog.files import atomic_file
from obslog.records.care.copy_looked_at import EmptyCopy, NoSuchCopy
from obslog.records.care.copying import back_up
from obslog.records.care.going_back import CopyIsTheDatabase, go_back, look_back
from obslog.records.care.held_alone import OpenElsewhere
from obslog.records.database import Database
from obslog.records.driver_errors import NoSuchDatabase, NotWritable
from obslog.records.engine import make_engine
from obslog.records.opening import open_database
from obslog.records.upgrading import SCHEMA_REVISION, upgrade
from tests.records.care.test_apart import add
from tests.records.children import output, start
from tests.records.test_driver_errors import ADD_AND_FALL, member_names

KEPT = "club.before-restore-20260302T224000Z.db"


@pytest.fixture
def later(now: datetime) -> datetime:
    return now + timedelta(hours=1)


@pytest.fixture
def copied(sqlite_database: Database, now: datetime, tmp_path: Path) -> tuple[Path, Path]:
    """A database of Ines and Bram, and a copy from when there was only Ines."""
    add(sqlite_database, now, "Ines")
    copy = back_up(sqlite_database.engine, tmp_path / "copy.db").file
    add(sqlite_database, now, "Bram")
    sqlite_database.close()
    return Path(sqlite_database.where), copy


def names_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_looking_tells_what_is_lost_and_changes_nothing(copied: tuple[Path, Path], tmp_path: Path) -> None:
    database, copy = copied
    before = {path: path.read_bytes() for path in tmp_path.iterdir()}
    found = look_back(database, copy)
    assert (found.done, found.kept, found.revision, found.upgrade_follows) == (
        False,
        None,
        SCHEMA_REVISION,
        False,
    )
    assert found.apart is not None
    assert [act.sentence for act in found.apart.lost.newest] == ["add member Bram"]
    assert found.apart.comes_back.acts == 0
    assert {path: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_the_copy_takes_the_place_and_the_file_of_before_is_kept(
    copied: tuple[Path, Path], tmp_path: Path, later: datetime, said: list[str]
) -> None:
    database, copy = copied
    before = copy.read_bytes()
    done = go_back(database, copy, later)
    assert (done.done, done.kept) == (True, tmp_path / KEPT)
    assert names_in(tmp_path) == [KEPT, "club.db", "copy.db"]
    assert member_names(database) == ["Ines"]
    assert member_names(tmp_path / KEPT) == ["Ines", "Bram"]
    assert copy.read_bytes() == before
    if os.name == "posix":
        assert {stat.S_IMODE(path.stat().st_mode) for path in tmp_path.iterdir()} == {0o600}
    opened = open_database(str(database), later, said.append)
    add(opened, later, "Tomasz")
    opened.close()
    assert (member_names(database), said) == (["Ines", "Tomasz"], [])


def test_what_waited_beside_the_file_is_in_the_one_that_is_kept_and_in_no_other(
    copied: tuple[Path, Path], later: datetime
) -> None:
    """A program that fell leaves its last act in the log alone; beside the copy, that log would be written into it."""
    database, copy = copied
    named = ADD_AND_FALL.replace("Bram", "Cleo").replace("bram", "cleo")
    output(start(named, database))
    assert b"Cleo" not in database.read_bytes()
    assert b"Cleo" in database.with_name("club.db-wal").read_bytes()
    done = go_back(database, copy, later)
    assert done.apart is not None
    assert done.apart.lost.acts == 2
    assert done.kept is not None
    assert member_names(done.kept) == ["Ines", "Bram", "Cleo"]
    assert member_names(database) == ["Ines"]


def test_a_damaged_file_is_kept_with_what_lies_beside_it(copied: tuple[Path, Path], later: datetime) -> None:
    database, copy = copied
    database.write_bytes(b"\xff" * 9000)
    database.with_name("club.db-wal").write_bytes(b"what waited")
    done = go_back(database, copy, later)
    assert done.apart is None
    assert done.unreadable is not None
    assert done.kept is not None
    assert done.kept.read_bytes() == b"\xff" * 9000
    assert done.kept.with_name(f"{KEPT}-wal").read_bytes() == b"what waited"
    assert member_names(database) == ["Ines"]
    assert names_in(database.parent) == [KEPT, f"{KEPT}-wal", "club.db", "copy.db"]


def test_on_windows_too_a_damaged_file_is_kept_with_what_lies_beside_it(
    copied: tuple[Path, Path], later: datetime, windows_files: list[str]
) -> None:
    """There the file is closed before it is replaced, and SQLite removes a log with the last who closes its file."""
    test_a_damaged_file_is_kept_with_what_lies_beside_it(copied, later)
    assert windows_files == []


def test_on_windows_the_copy_takes_the_place_of_no_file_that_this_program_has_open(
    copied: tuple[Path, Path], tmp_path: Path, later: datetime, windows_files: list[str]
) -> None:
    database, copy = copied
    go_back(database, copy, later)
    assert windows_files == []
    assert (member_names(database), member_names(tmp_path / KEPT)) == (["Ines"], ["Ines", "Bram"])
    with database.open("rb"), pytest.raises(NotWritable) as told:  # as by a program that asks no lock of it
        go_back(database, tmp_path / KEPT, later)
    assert windows_files == [str(database)] * 6
    assert told.value.hint.startswith("Close what may have it open")
    assert member_names(database) == ["Ines"]


def test_where_no_database_is_the_copy_comes_and_a_log_that_was_left_goes(
    copied: tuple[Path, Path], later: datetime
) -> None:
    database, copy = copied
    database.unlink()
    database.with_name("club.db-wal").write_bytes(b"left over")
    done = go_back(database, copy, later)
    assert (done.kept, done.apart, done.unreadable) == (None, None, None)
    assert member_names(database) == ["Ines"]
    assert names_in(database.parent) == [f"{KEPT}-wal", "club.db", "copy.db"]


def test_on_windows_a_log_that_a_scanner_has_open_for_a_moment_goes_all_the_same(
    copied: tuple[Path, Path], later: datetime, windows_files: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    database, copy = copied
    database.unlink()
    log = database.with_name("club.db-wal")
    log.write_bytes(b"left over")
    scanner = log.open("rb")
    monkeypatch.setattr(atomic_file, "_wait", lambda _seconds: scanner.close())
    go_back(database, copy, later)
    assert windows_files == [str(log)]
    assert member_names(database) == ["Ines"]


def test_a_file_that_is_open_and_a_copy_that_is_none_change_nothing(
    copied: tuple[Path, Path], later: datetime, said: list[str]
) -> None:
    database, copy = copied
    opened = open_database(str(database), later, said.append)
    with opened.read() as session:
        session.scalar(text("SELECT 1 FROM acts"))
        with pytest.raises(OpenElsewhere):
            go_back(database, copy, later)
    opened.close()
    before = {path: path.read_bytes() for path in database.parent.iterdir()}
    copy.with_name("empty.db").touch()
    for wrong, expected in (("empty.db", EmptyCopy), ("none.db", NoSuchCopy), ("club.db", CopyIsTheDatabase)):
        with pytest.raises(expected):
            go_back(database, database.with_name(wrong), later)
    copy.with_name("empty.db").unlink()
    for wrong_place in (database.parent, database.parent / "nowhere" / "club.db"):
        with pytest.raises(NoSuchDatabase):
            go_back(wrong_place, copy, later)
    assert {path: path.read_bytes() for path in database.parent.iterdir()} == before


def test_a_copy_of_an_older_revision_is_put_back_and_upgraded_when_it_is_opened(
    sqlite_path: Path, tmp_path: Path, later: datetime, said: list[str]
) -> None:
    copy = tmp_path / "older.db"
    engine = make_engine(str(copy))
    upgrade(engine, revision="0004")
    engine.dispose()
    done = go_back(sqlite_path, copy, later)
    assert (done.revision, done.upgrade_follows) == ("0004", True)
    open_database(str(sqlite_path), later, said.append).close()
    assert f"Upgraded {sqlite_path}" in said[0]


def test_a_link_to_the_database_stays_one(copied: tuple[Path, Path], tmp_path: Path, later: datetime) -> None:
    database, copy = copied
    link = tmp_path / "links" / "here.db"
    link.parent.mkdir()
    link.symlink_to(database)
    done = go_back(link, copy, later)
    assert done.kept == database.with_name(KEPT)
    assert link.is_symlink()
    assert member_names(database) == ["Ines"]


def test_without_second_names_the_file_of_before_is_kept_all_the_same(
    copied: tuple[Path, Path], later: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(*_: object, **__: object) -> None:
        raise PermissionError("Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    database, copy = copied
    done = go_back(database, copy, later)
    assert done.kept is not None
    assert member_names(done.kept) == ["Ines", "Bram"]
    assert member_names(database) == ["Ines"]


def test_a_shared_file_stays_shared(copied: tuple[Path, Path], later: datetime) -> None:
    database, copy = copied
    database.chmod(0o660)
    go_back(database, copy, later, shared=True)
    assert stat.S_IMODE(database.stat().st_mode) == 0o660


def test_a_disk_that_refuses_leaves_the_database_as_it_was(
    copied: tuple[Path, Path], later: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    database, copy = copied

    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(shutil, "copymode", refuse)
    with pytest.raises(ObslogError, match="no room left"):
        go_back(database, copy, later, shared=True)
    assert member_names(database) == ["Ines", "Bram"]
    assert names_in(database.parent) == ["club.db", "copy.db"]
