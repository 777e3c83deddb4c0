"""Copies of a club's database are known by its acts: also older and newer ones, and none of another club's."""

import shutil
import sqlite3
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from obslog.club.register.named_records import add
from obslog.records.care.copying import back_up
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.records.looking.copies_known import databases_beside

DAY = timedelta(days=1)


@pytest.fixture
def place(sqlite_database: Database, now: datetime) -> Path:
    add(sqlite_database, "member", "Ines", {}, now)
    return Path(str(sqlite_database.engine.url.database))


def beside(place: Path) -> tuple[list[str], list[str]]:
    found = databases_beside(place)
    return [path.name for path in found.copies], [path.name for path in found.not_known]


def test_an_older_copy_is_known_and_from_it_the_newer(
    sqlite_database: Database, place: Path, now: datetime
) -> None:
    older = place.with_name("sunday.db")
    back_up(sqlite_database.engine, older)
    add(sqlite_database, "member", "Bram Ostler", {}, now + DAY)
    assert beside(place) == (["sunday.db"], [])
    assert beside(older) == ([place.name], [])


def test_the_database_of_another_club_is_no_copy(place: Path, sqlite_template: Path, now: datetime) -> None:
    """Made at the same moment, with a member of the same name, it was handed over as "A copy"."""
    zero = str(shutil.copy(sqlite_template, place.with_name("zero.db")))
    with closing(Database(make_engine(zero), zero)) as other:
        add(other, "member", "Ines", {}, now)
    assert beside(place) == ([], [])


def test_a_copy_from_before_older_acts_were_merged_in_is_known(
    sqlite_database: Database, place: Path, now: datetime
) -> None:
    back_up(sqlite_database.engine, place.with_name("sunday.db"))
    with closing(sqlite3.connect(place)) as file:
        columns = ", ".join(row[1] for row in file.execute("PRAGMA table_info(acts)") if row[1] != "id")
        file.execute(f"INSERT INTO acts (id, {columns}) SELECT '0', {columns} FROM acts LIMIT 1")
        file.commit()
    assert beside(place) == (["sunday.db"], [])


def test_of_what_tells_nothing_it_is_not_known(place: Path, sqlite_template: Path) -> None:
    place.with_name("broken.db").write_bytes(b"SQLite format 3\x00 and no more")
    shutil.copy(sqlite_template, place.with_name("empty.db"))
    with closing(sqlite3.connect(place.with_name("other.db"))) as file:  # another program's
        file.execute("CREATE TABLE words (word TEXT)")
    with closing(sqlite3.connect(place.with_name("old.db"))) as file:  # of a version without acts
        file.execute("CREATE TABLE alembic_version (version_num TEXT)")
    assert beside(place) == ([], ["broken.db", "empty.db", "old.db"])


def test_nothing_is_written_beside_a_copy_that_is_read(sqlite_database: Database, place: Path) -> None:
    back_up(sqlite_database.engine, place.with_name("sunday.db"))
    before = sorted(path.name for path in place.parent.iterdir())
    databases_beside(place)
    assert sorted(path.name for path in place.parent.iterdir()) == before
