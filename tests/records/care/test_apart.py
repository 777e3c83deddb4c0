"""What two files have apart: acts and rows that only one of them holds, and rows that differ."""

import shutil
import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

import pytest

from obslog.records.care.apart import MOST_ACTS, ActTold, apart
from obslog.records.care.copying import back_up
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Member


def add(database: Database, now: datetime, name: str) -> None:
    with database.write(now, f"add member {name}") as session:
        session.add(Member(name=name, name_key=name.casefold()))


def test_acts_and_rows_of_either_alone_are_told(
    sqlite_database: Database, now: datetime, tmp_path: Path
) -> None:
    add(sqlite_database, now, "Ines")
    copy = back_up(sqlite_database.engine, tmp_path / "copy.db").file
    with closing(sqlite3.connect(copy)) as file:  # as another laptop would go on
        file.execute("INSERT INTO members (id, name, name_key) VALUES ('1', 'Cleo', 'cleo')")
        file.execute(
            "INSERT INTO acts (id, at_utc, sentence) VALUES ('1', '2026-03-01T20:00:00.000000Z', 'add Cleo')"
        )
        file.execute("UPDATE members SET note = 'tall' WHERE name = 'Ines'")
        file.commit()
    for name in ("Bram", "Tomasz"):
        add(sqlite_database, now, name)
    found = apart(Path(sqlite_database.where), copy)
    assert found is not None
    at = "2026-03-02T21:40:00.000000Z"
    assert found.newest_now == ActTold(at, "add member Tomasz")
    assert (found.lost.acts, [act.sentence for act in found.lost.newest]) == (
        2, ["add member Tomasz", "add member Bram"],
    )  # fmt: skip
    assert (found.comes_back.acts, [act.sentence for act in found.comes_back.newest]) == (1, ["add Cleo"])
    (members,) = [rows for rows in found.rows if rows.table == "members"]
    assert (members.now, members.in_copy) == (3, 2)
    assert (members.only_now, members.only_in_copy, members.differ) == (2, 1, 1)
    others = [rows for rows in found.rows if rows.table != "members"]
    assert all(rows.only_now == rows.only_in_copy == rows.differ == 0 for rows in others)
    assert not {"acts", "changes", "kept_results", "alembic_version"} & {rows.table for rows in others}


def test_many_acts_are_counted_and_the_newest_told(
    sqlite_database: Database, now: datetime, tmp_path: Path
) -> None:
    copy = back_up(sqlite_database.engine, tmp_path / "copy.db").file
    for number in range(MOST_ACTS + 3):
        add(sqlite_database, now, f"member {number}")
    found = apart(Path(sqlite_database.where), copy)
    assert found is not None
    assert (found.lost.acts, len(found.lost.newest)) == (MOST_ACTS + 3, MOST_ACTS)
    assert found.newest_in_copy is None


def test_a_copy_that_lacks_a_table_and_a_column_is_compared_by_what_both_have(
    sqlite_database: Database, now: datetime, tmp_path: Path
) -> None:
    add(sqlite_database, now, "Ines")
    copy = back_up(sqlite_database.engine, tmp_path / "copy.db").file
    with closing(sqlite3.connect(copy)) as file:
        file.execute("DROP TABLE battery_tests")
        file.execute("ALTER TABLE members DROP COLUMN note")
        file.commit()
    found = apart(Path(sqlite_database.where), copy)
    assert found is not None
    rows = {one.table: one for one in found.rows}
    assert (rows["members"].differ, rows["battery_tests"].in_copy) == (0, 0)


def test_a_file_of_another_program_has_nothing_to_compare(sqlite_path: Path, tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / "notes.db")) as file:
        file.execute("CREATE TABLE notes (text TEXT)")
    assert apart(tmp_path / "notes.db", Path(shutil.copy(sqlite_path, tmp_path / "copy.db"))) is None
    (tmp_path / "notes.txt").write_text("frost\n" * 300)
    with pytest.raises(sqlite3.DatabaseError):
        apart(tmp_path / "notes.txt", sqlite_path)
