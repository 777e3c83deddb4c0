"""What is no database of ours, or one of a newer program, is left alone, and called what it is."""

import hashlib
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from pathlib import Path

import pytest
from sqlalchemy import inspect, text

from obslog.errors import ObslogError
from obslog.records.driver_errors import CutShort, NoSuchDatabase
from obslog.records.engine import make_engine
from obslog.records.found_revision import EmptyFile, NewerDatabase, NotADatabase
from obslog.records.opening import open_database


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


@pytest.mark.parametrize(
    ("content", "error"),
    [
        (b"", EmptyFile),
        (b"night,site,observer\n", NotADatabase),
        (b"a longer text " * 1000, NotADatabase),
        (b"SQLite format 3\0" + bytes(4080), NotADatabase),
    ],
    ids=["empty", "short text", "long text", "only a header"],
)
def test_a_file_that_is_no_database_is_left_alone(
    tmp_path: Path, now: datetime, said: list[str], content: bytes, error: type[ObslogError]
) -> None:
    path = tmp_path / "notes.txt"
    path.write_bytes(content)
    with pytest.raises(error, match=r"notes\.txt"):
        open_database(str(path), now, said.append)
    assert path.read_bytes() == content
    assert list(tmp_path.iterdir()) == [path]
    assert said == []


@pytest.mark.parametrize(
    "statements",
    [
        "CREATE TABLE recipes (name TEXT); INSERT INTO recipes VALUES ('soup')",
        "CREATE TABLE alembic_version (version_num TEXT); INSERT INTO alembic_version VALUES ('0001')",
        "CREATE TABLE alembic_version (version_num TEXT); CREATE TABLE acts (id TEXT)",
    ],
    ids=["no revision", "another's revision", "no revision named"],
)
def test_another_programs_database_is_left_alone(
    tmp_path: Path, now: datetime, said: list[str], statements: str
) -> None:
    path = tmp_path / "recipes.db"
    with closing(sqlite3.connect(path)) as other:
        other.executescript(statements)
    before = digest(path)
    with pytest.raises(NotADatabase):
        open_database(str(path), now, said.append)
    assert digest(path) == before
    assert list(tmp_path.iterdir()) == [path]


def test_a_newer_database_is_left_alone(sqlite_path: Path, now: datetime, said: list[str]) -> None:
    with closing(sqlite3.connect(sqlite_path)) as newer:
        newer.execute("UPDATE alembic_version SET version_num = '9999'")
        newer.commit()
    before = digest(sqlite_path)
    with pytest.raises(NewerDatabase, match="9999"):
        open_database(str(sqlite_path), now, said.append)
    assert digest(sqlite_path) == before
    assert said == []


def test_a_folder_given_as_path_is_refused(tmp_path: Path, now: datetime, said: list[str]) -> None:
    with pytest.raises(NoSuchDatabase, match="it is a folder"):
        open_database(str(tmp_path), now, said.append)


def test_a_cut_off_database_is_called_damaged(sqlite_path: Path, now: datetime, said: list[str]) -> None:
    whole = sqlite_path.read_bytes()
    sqlite_path.write_bytes(whole[: len(whole) // 8])
    missing = len(whole) - len(whole) // 8
    with pytest.raises(CutShort, match=f"cut short: {missing} bytes are missing"):
        open_database(str(sqlite_path), now, said.append)


def test_anothers_tables_on_a_server_are_left_alone(
    new_postgres_url: Callable[[], str], now: datetime, said: list[str]
) -> None:
    url = new_postgres_url()
    engine = make_engine(url)
    with engine.begin() as connection:
        connection.execute(text("CREATE TABLE recipes (name TEXT)"))
    with pytest.raises(NotADatabase):
        open_database(url, now, said.append)
    with engine.connect() as connection:
        assert inspect(connection).get_table_names() == ["recipes"]
    engine.dispose()


def test_a_newer_database_on_a_server_is_left_alone(
    new_postgres_url: Callable[[], str], now: datetime, said: list[str]
) -> None:
    url = new_postgres_url()
    database = open_database(url, now, said.append)
    with database.engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    database.close()
    with pytest.raises(NewerDatabase, match="9999"):
        open_database(url, now, said.append)
