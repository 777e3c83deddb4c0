"""A full check finds damage of the file, and references to nothing."""

import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

from sqlalchemy import text

from obslog.records.care.checking import look_through
from obslog.records.care.damage import complaints, damage_in, first_few, loose_on_server
from obslog.records.database import Database
from tests.records.care.test_copying import add_sites


def test_there_is_no_complaint_about_a_sound_database(club: Database) -> None:
    assert complaints(club.engine) == []


def test_references_to_nothing_are_found(sqlite_database: Database) -> None:
    with closing(sqlite3.connect(sqlite_database.where)) as other:  # with references unchecked
        other.execute(
            "INSERT INTO nights (id, site_id, night_of, open) VALUES ('1', 'none', '2026-03-02', 0)"
        )
        other.commit()
    assert complaints(sqlite_database.engine) == ["nights row 1 refers to no sites"]


def test_one_wrong_byte_in_an_index_is_found_though_a_query_still_answers(
    sqlite_database: Database, now: datetime
) -> None:
    path = Path(sqlite_database.where)
    add_sites(sqlite_database, now, 200)
    with sqlite_database.engine.connect() as connection:
        root = "SELECT rootpage FROM sqlite_master WHERE name = 'sqlite_autoindex_sites_2'"
        page = connection.exec_driver_sql(root).scalar_one()
        size = connection.exec_driver_sql("PRAGMA page_size").scalar_one()
    sqlite_database.close()
    content = bytearray(path.read_bytes())
    content[content.index(b"hill", (page - 1) * size, page * size)] ^= 1
    path.write_bytes(bytes(content))
    with sqlite_database.read() as session:
        assert session.scalar(text("SELECT count(*) FROM sites WHERE note IS NOT NULL")) == 200
    assert any("sqlite_autoindex_sites" in line for line in complaints(sqlite_database.engine))


def test_a_server_that_was_told_to_keep_no_references_is_asked_for_each(
    postgres_database: Database, now: datetime
) -> None:
    """An administrator may have deleted a row with the server's own triggers silenced."""
    assert loose_on_server(postgres_database.engine) == []
    key = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
    with postgres_database.engine.begin() as connection:
        connection.exec_driver_sql("SET LOCAL session_replication_role = replica")
        values = f"'{key}', '{key}', '2026-03-02', false"
        connection.exec_driver_sql(f"INSERT INTO nights (id, site_id, night_of, open) VALUES ({values})")
    told = f"nights row {key} refers to no sites"
    assert loose_on_server(postgres_database.engine) == [told]
    found = look_through(postgres_database, now)
    assert [(one.subject, one.lines, one.grave) for one in found] == [("references", [told], True)]


def test_much_damage_is_a_line_each_and_more_than_a_check_can_read_is_told_as_such(
    club_file: Path, tmp_path: Path
) -> None:
    """SQLite gives all that is wrong in one text, under a heading; of a broken page of its own it reads no further."""
    for at, told in ((20, "free space corruption"), (None, "malformed")):
        path = tmp_path / "club.db"
        content = bytearray(club_file.read_bytes())
        with closing(sqlite3.connect(club_file)) as file:
            (size,) = file.execute("PRAGMA page_size").fetchone()
            (page,) = file.execute("SELECT rootpage FROM sqlite_master WHERE name = 'members'").fetchone()
        content[(page - 1) * size if at is None else at] ^= 0xFF if at is None else 0x40
        path.write_bytes(content)
        with closing(sqlite3.connect(path)) as file:
            lines = damage_in(file)
        assert any(told in line for line in lines)
        assert all("\n" not in line and not line.startswith("***") for line in lines)


def test_under_an_error_ten_are_told_and_the_rest_counted() -> None:
    lines = [f"Page {number}" for number in range(1, 13)]
    assert first_few(lines[:10]) == lines[:10]
    assert first_few(lines) == [*lines[:10], "and 2 more"]
