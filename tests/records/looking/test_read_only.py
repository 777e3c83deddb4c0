"""A database that is opened to look at: nothing can be written, and what cannot be read says so."""

import os
import shutil
import sqlite3
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text
from sqlalchemy.exc import DBAPIError

from obslog.errors import ObslogError
from obslog.records.database import Database
from obslog.records.driver_errors import BesideRefused, DamagedDatabase, NoSuchDatabase
from obslog.records.found_revision import (
    UNFINISHED_MOVE,
    EmptyFile,
    NewerDatabase,
    NotADatabase,
    UnfinishedMove,
)
from obslog.records.looking import read_only
from obslog.records.looking.read_only import OlderDatabase, open_to_look
from obslog.records.opening import open_database


def on_revision(path: Path, revision: str) -> Path:
    with sqlite3.connect(path) as connection:
        connection.execute("UPDATE alembic_version SET version_num = ?", (revision,))
    connection.close()
    return path


def test_what_is_opened_to_look_at_refuses_to_write(new_target: str, now: datetime) -> None:
    open_database(new_target, now, lambda _text: None).close()
    database = open_to_look(new_target)
    with pytest.raises(DBAPIError), database.engine.begin() as connection:
        connection.execute(text("DELETE FROM acts"))
    with database.read() as session:
        assert session.scalar(text("SELECT count(*) FROM acts")) == 0
    database.close()


def test_others_may_write_meanwhile_and_the_next_look_sees_it(
    sqlite_path: Path, sqlite_database: Database
) -> None:
    looking = open_to_look(str(sqlite_path))
    with looking.read() as session:
        assert session.scalar(text("SELECT count(*) FROM alembic_version")) == 1
        with sqlite3.connect(sqlite_path) as other:
            other.execute("CREATE TABLE seen (n INTEGER)")
        other.close()
    with looking.read() as session:
        assert session.scalar(text("SELECT count(*) FROM seen")) == 0
    looking.close()


def test_an_older_database_is_left_as_it_is(sqlite_path: Path) -> None:
    before = on_revision(sqlite_path, "0009").read_bytes()
    with pytest.raises(OlderDatabase, match="an older obslog") as told:
        open_to_look(str(sqlite_path))
    assert "night list" in told.value.hint
    assert sqlite_path.read_bytes() == before
    open_to_look(str(sqlite_path), older_too=True).close()


def test_a_newer_database_asks_for_a_newer_program(sqlite_path: Path) -> None:
    for older_too in (False, True):
        with pytest.raises(NewerDatabase):
            open_to_look(str(on_revision(sqlite_path, "9999")), older_too=older_too)


def test_what_has_not_wholly_come_to_another_place_is_not_read(sqlite_path: Path) -> None:
    with pytest.raises(UnfinishedMove):
        open_to_look(str(on_revision(sqlite_path, UNFINISHED_MOVE)))


def nothing(path: Path) -> None:
    assert not path.exists()


def empty(path: Path) -> None:
    path.touch()


def a_letter(path: Path) -> None:
    path.write_text("Dear club, " * 1000)


def another(path: Path) -> None:
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE songs (name TEXT)")
    connection.close()


@pytest.mark.parametrize(
    ("made", "refused_as"),
    [
        (nothing, NoSuchDatabase),
        (Path.mkdir, NoSuchDatabase),
        (empty, EmptyFile),
        (a_letter, NotADatabase),
        (another, NotADatabase),
    ],
)
def test_what_is_no_club_is_refused_and_left_alone(
    made: Callable[[Path], None], refused_as: type[ObslogError], tmp_path: Path
) -> None:
    place = tmp_path / "club.db"
    made(place)
    before = place.read_bytes() if place.is_file() else None
    with pytest.raises(refused_as):
        open_to_look(str(place))
    assert (place.read_bytes() if place.is_file() else None) == before
    assert [one.name for one in tmp_path.iterdir()] == (["club.db"] if place.exists() else [])


def test_a_damaged_file_is_called_so(sqlite_path: Path) -> None:
    data = bytearray(sqlite_path.read_bytes())
    data[100:4096] = os.urandom(3996)
    sqlite_path.write_bytes(data)
    with pytest.raises((DamagedDatabase, NotADatabase)):
        open_to_look(str(sqlite_path))


def test_a_file_beside_which_nothing_may_be_written_is_read_as_it_lies(
    sqlite_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Rights stop no administrator: SQLite is asked for a file in a folder that it cannot open."""
    place = Path(shutil.copy(sqlite_path, tmp_path / "there.db"))
    nowhere = f"sqlite:///{tmp_path / 'no' / 'such' / 'folder.db'}"
    monkeypatch.setattr(read_only, "_looking_engine", lambda _path: create_engine(nowhere))
    database = open_to_look(str(place))
    with database.read() as session:
        assert session.scalar(text("SELECT count(*) FROM nights")) == 0
    database.close()
    place.with_name("there.db-wal").write_bytes(b"not all of it lies in the file")
    with pytest.raises(BesideRefused):
        open_to_look(str(place))
