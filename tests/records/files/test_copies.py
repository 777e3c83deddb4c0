"""Copies in which words still stand are found by their bytes, in unused pages too, and are only read."""

import shutil
import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

import pytest

from obslog.records.care.copying import back_up
from obslog.records.database import Database
from obslog.records.files.copies import copies_beside, copies_holding


@pytest.fixture
def copy(sqlite_database: Database) -> Path:
    place = Path(str(sqlite_database.engine.url.database)).with_name("copy.db")
    back_up(sqlite_database.engine, place)
    return place


def put(copy: Path, *statements: str) -> None:
    with closing(sqlite3.connect(copy)) as connection:
        for statement in statements:
            connection.execute(statement)
        connection.commit()


def test_a_word_in_a_table_is_found(sqlite_database: Database, copy: Path) -> None:
    assert copies_holding(sqlite_database.engine, ["Zoë Kettle"]) == []
    put(copy, "CREATE TABLE words (word TEXT)", "INSERT INTO words VALUES ('Zoë Kettle')")
    assert copies_holding(sqlite_database.engine, ["Zoë Kettle"]) == [str(copy)]
    assert copies_holding(sqlite_database.engine, ["Kettle, Zoë", ""]) == []


def test_a_word_in_an_unused_page_is_found(sqlite_database: Database, copy: Path) -> None:
    put(
        copy,
        "PRAGMA secure_delete=OFF",
        "CREATE TABLE words (word TEXT)",
        "INSERT INTO words VALUES ('Quagmire')",
    )
    put(copy, "PRAGMA secure_delete=OFF", "DELETE FROM words")
    with closing(sqlite3.connect(copy)) as connection:
        assert connection.execute("SELECT count(*) FROM words").fetchone() == (0,)
    assert copies_holding(sqlite_database.engine, ["Quagmire"]) == [str(copy)]


def test_a_server_has_no_copies_beside_it(postgres_database: Database, now: datetime) -> None:
    assert copies_holding(postgres_database.engine, ["Quagmire"]) == []


def test_the_folder_of_dated_copies_is_looked_into(sqlite_database: Database, copy: Path) -> None:
    """Its name is what docs/backup.md says of `db backup` without a file."""
    place = Path(str(sqlite_database.engine.url.database))
    dated = place.with_name(f"{place.stem}-copies") / copy.name
    dated.parent.mkdir()
    put(copy, "CREATE TABLE words (word TEXT)", "INSERT INTO words VALUES ('Quagmire')")
    copy.rename(dated)
    assert copies_holding(sqlite_database.engine, ["Quagmire"]) == [str(dated)]


def test_copies_are_known_by_what_is_in_them(sqlite_path: Path) -> None:
    shutil.copy(sqlite_path, sqlite_path.with_name("b.sqlite"))
    sqlite_path.with_name("a.db").write_text("SQLite format, says a text")
    sqlite_path.with_name("c.db").mkdir()
    assert [path.name for path in copies_beside(sqlite_path)] == ["b.sqlite"]
