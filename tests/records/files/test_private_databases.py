"""Databases and their copies can be read by their owner alone; what others could read before is closed, and told."""

import os
import shutil
import stat
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from obslog.records.care.copying import back_up
from obslog.records.files.private_databases import tighten
from obslog.records.opening import open_database

pytestmark = pytest.mark.skipif(os.name != "posix", reason="rights of files are POSIX's")


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


@pytest.fixture(autouse=True)
def _usual_rights() -> Iterator[None]:
    """As most machines are set up: a new file can be read by everybody."""
    before = os.umask(0o022)
    yield
    os.umask(before)


def test_a_new_database_and_what_lies_beside_it_are_private(
    tmp_path: Path, now: datetime, said: list[str]
) -> None:
    path = tmp_path / "club.db"
    database = open_database(str(path), now, said.append)
    with database.read() as session:
        session.connection()
        back_up(database.engine, tmp_path / "copy.db")
        found = {file.name: mode(file) for file in tmp_path.iterdir()}
    database.close()
    assert found.keys() >= {"club.db", "copy.db", "club.db-wal", "club.db-shm"}
    assert set(found.values()) == {0o600}
    assert said == [f"New database: {path}"]


def test_a_folder_made_for_the_database_is_private(tmp_path: Path, now: datetime, said: list[str]) -> None:
    path = tmp_path / "own" / "club.db"
    open_database(str(path), now, said.append, make_folder=True).close()
    assert mode(path.parent) == 0o700


def test_an_older_file_its_copies_and_the_own_folder_are_closed_with_a_word_once(
    sqlite_path: Path, now: datetime, said: list[str]
) -> None:
    copy = sqlite_path.with_name("before.db")
    shutil.copy(sqlite_path, copy)
    other = sqlite_path.with_name("notes.txt")
    other.write_text("not ours")
    for path in (sqlite_path, copy, other):
        path.chmod(0o644)
    sqlite_path.parent.chmod(0o755)
    for _ in range(2):
        open_database(str(sqlite_path), now, said.append, make_folder=True).close()
    assert (mode(sqlite_path), mode(copy), mode(sqlite_path.parent)) == (0o600, 0o600, 0o700)
    assert mode(other) == 0o644
    assert len(said) == 1
    assert str(sqlite_path) in said[0]
    assert "more beside them" in said[0]


def test_a_folder_of_ones_own_choice_and_a_shared_file_stay_as_they_are(
    sqlite_path: Path, now: datetime, said: list[str]
) -> None:
    sqlite_path.chmod(0o660)
    sqlite_path.parent.chmod(0o755)
    open_database(str(sqlite_path), now, said.append, shared=True).close()
    assert (mode(sqlite_path), said) == (0o660, [])
    open_database(str(sqlite_path), now, said.append).close()
    assert (mode(sqlite_path), mode(sqlite_path.parent)) == (0o600, 0o755)


def test_a_file_that_may_not_be_changed_is_left_without_a_word(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "another.db"
    path.touch(0o644)

    def refuse(*_arguments: object, **_more: object) -> None:
        raise PermissionError("Operation not permitted")

    monkeypatch.setattr(Path, "chmod", refuse)
    assert tighten(path) == []
