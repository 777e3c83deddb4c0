"""Copies hold what is on record at that moment, and are whole or not there."""

import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

import pytest

from obslog.records.care import copying
from obslog.records.care.copying import CopyDiffers, CopyExists, ServerBackup, back_up
from obslog.records.database import Database
from obslog.records.driver_errors import DiskFull, NoSuchDatabase
from obslog.records.engine import make_engine
from obslog.records.tables.logbook_tables import Site


def add_sites(database: Database, now: datetime, count: int) -> None:
    with database.write(now) as session:
        session.add_all(Site(name=f"Hill {n}", name_key=f"hill {n}", note="x" * 200) for n in range(count))


def test_a_copy_holds_rows_that_are_still_in_the_log(
    sqlite_database: Database, now: datetime, tmp_path: Path
) -> None:
    add_sites(sqlite_database, now, 3)
    copy = tmp_path / "copy.db"
    back_up(sqlite_database.engine, copy)
    with closing(sqlite3.connect(copy)) as file:
        assert file.execute("SELECT count(*) FROM sites").fetchone() == (3,)
        assert file.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    # A plain copy of the file alone is why back_up is needed: the rows are not in it yet.
    assert b"Hill 2" not in Path(sqlite_database.where).read_bytes()


def test_a_copy_never_takes_the_place_of_a_file(sqlite_database: Database, tmp_path: Path) -> None:
    copy = tmp_path / "copy.db"
    copy.write_bytes(b"precious")
    with pytest.raises(CopyExists, match=r"copy\.db"):
        back_up(sqlite_database.engine, copy)
    assert copy.read_bytes() == b"precious"


def test_a_file_that_comes_while_copying_is_kept(
    sqlite_database: Database, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = tmp_path / "copy.db"
    copying_first = copying._copy_into

    def slowly(*arguments: object) -> None:
        copying_first(*arguments)  # type: ignore[arg-type]
        copy.write_bytes(b"precious")

    monkeypatch.setattr(copying, "_copy_into", slowly)
    with pytest.raises(CopyExists):
        back_up(sqlite_database.engine, copy)
    assert copy.read_bytes() == b"precious"
    assert list(tmp_path.glob(".*")) == []


def test_a_copy_into_a_missing_folder_is_refused(sqlite_database: Database, tmp_path: Path) -> None:
    with pytest.raises(NoSuchDatabase, match=r"copy\.db"):
        back_up(sqlite_database.engine, tmp_path / "nowhere" / "copy.db")


def test_a_copy_that_fails_leaves_no_part_of_it(
    sqlite_database: Database, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fill_the_disk(_engine: object, draft: Path) -> None:
        draft.write_bytes(b"half")
        error = sqlite3.OperationalError("database or disk is full")
        error.sqlite_errorname = "SQLITE_FULL"
        raise error

    monkeypatch.setattr(copying, "_copy_into", fill_the_disk)
    with pytest.raises(DiskFull, match=r"copy\.db"):
        back_up(sqlite_database.engine, tmp_path / "copy.db")
    assert [path.name for path in tmp_path.iterdir() if "copy" in path.name] == []


def test_a_server_is_backed_up_with_its_own_tool(postgres_database: Database, tmp_path: Path) -> None:
    with pytest.raises(ServerBackup) as caught:
        back_up(postgres_database.engine, tmp_path / "copy.db")
    assert "pg_dump" in caught.value.hint
    assert list(tmp_path.iterdir()) == []


def test_a_copy_tells_what_it_holds_by_table(
    sqlite_database: Database, now: datetime, tmp_path: Path
) -> None:
    add_sites(sqlite_database, now, 3)
    made = back_up(sqlite_database.engine, tmp_path / "copy.db")
    assert (made.rows["sites"], made.rows["members"], made.damage) == (3, 0, [])
    assert made.bytes == (tmp_path / "copy.db").stat().st_size


def test_a_copy_that_did_not_come_out_as_the_database_is_is_not_kept(
    sqlite_database: Database, now: datetime, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    add_sites(sqlite_database, now, 3)
    copying_first = copying._copy_into

    def lose_a_row(source: sqlite3.Connection, draft: Path) -> None:
        copying_first(source, draft)
        with closing(sqlite3.connect(draft)) as file:
            file.execute("PRAGMA journal_mode=DELETE")
            file.execute("DELETE FROM sites WHERE name = 'Hill 2'")
            file.commit()

    def turn_a_byte(source: sqlite3.Connection, draft: Path) -> None:
        copying_first(source, draft)
        content = bytearray(draft.read_bytes())
        at = content.rindex(b"hill 2")  # in the index of the names
        content[at] ^= 1
        draft.write_bytes(bytes(content))

    for wrong, told in ((lose_a_row, "rows .sites."), (turn_a_byte, "sqlite_autoindex_sites")):
        monkeypatch.setattr(copying, "_copy_into", wrong)
        with pytest.raises(CopyDiffers, match=told):
            back_up(sqlite_database.engine, tmp_path / "copy.db")
    assert [path.name for path in tmp_path.iterdir() if "copy" in path.name] == []


def test_a_damaged_database_is_copied_all_the_same_and_called_so(club_file: Path, tmp_path: Path) -> None:
    """One bit of a page's first byte: SQLite's own check ends there, and its copying does not look."""
    path = tmp_path / "club.db"
    content = bytearray(club_file.read_bytes())
    with closing(sqlite3.connect(club_file)) as file:
        (size,) = file.execute("PRAGMA page_size").fetchone()
        (page,) = file.execute("SELECT rootpage FROM sqlite_master WHERE name = 'snags'").fetchone()
    content[(page - 1) * size] ^= 0xFF
    path.write_bytes(content)
    engine = make_engine(str(path))
    made = back_up(engine, tmp_path / "copy.db")
    engine.dispose()
    assert made.damage != []
    assert made.rows["members"] == 2
