"""What --repair puts right is only what is made from the records, after a copy; records stay as they are."""

import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

import pytest

from obslog.records.care import checking
from obslog.records.care.checking import look_through
from obslog.records.care.copying import rows_of
from obslog.records.care.damage import complaints
from obslog.records.care.finding import Finding
from obslog.records.care.mending import mend
from obslog.records.database import Database
from obslog.records.engine import make_engine
from tests.records.care.spoilt import spoil
from tests.records.care.test_apart import add
from tests.records.care.test_copy_looked_at import flip_in_an_index
from tests.records.tables.test_schema import sqlite_schema


@pytest.fixture(autouse=True)
def _a_quiet_place(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(checking, "surroundings", lambda *_, **__: [])


@pytest.fixture
def path(club_file: Path, tmp_path: Path) -> Path:
    place = tmp_path / "club.db"
    place.write_bytes(club_file.read_bytes())
    return place


def mended(path: Path, now: datetime) -> tuple[list[str], Path | None, list[Finding]]:
    """What was done, the copy that was made before, and what a check finds afterwards."""
    database = Database(make_engine(str(path)), str(path))
    try:
        done = mend(database, look_through(database, now), now)
        return done.done, done.copy, look_through(database, now)
    finally:
        database.close()


def triggers(path: Path) -> set[str]:
    with closing(sqlite3.connect(path)) as file:
        return {sql for (sql,) in file.execute("SELECT sql FROM sqlite_master WHERE type = 'trigger'")}


def test_a_sound_database_is_left_alone_and_not_copied(path: Path, now: datetime) -> None:
    before = path.read_bytes()
    assert mended(path, now) == ([], None, [])
    assert path.read_bytes() == before
    assert list(path.parent.iterdir()) == [path]


def test_indexes_triggers_and_search_texts_are_made_anew_after_a_copy(path: Path, now: datetime) -> None:
    key = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
    spoil(
        path,
        f"INSERT INTO snags (id, at_utc, step, text, search_text) "
        f"VALUES ('{key}', '2026-03-01T20:00:00.000000Z', 'level', 'A Leg sank', 'a leg sank')",
    )
    whole = triggers(path)
    spoil(
        path,
        "DROP INDEX ix_loans_member_id",
        "CREATE INDEX ix_loans_member_id ON loans (out_on)",
        "DROP INDEX ix_setups_mount_id",
        "DROP TRIGGER count_changes_of_nights_update",
        "UPDATE snags SET search_text = 'frost'",
    )
    spoilt = path.read_bytes()
    done, copy, found = mended(path, now)
    assert found == []
    assert done == [
        "The triggers that count changes were made anew.",
        "The index ix_loans_member_id was made anew.",
        "The index ix_setups_mount_id was made anew.",
        "The search text of 1 row of snags was made anew.",
        "Results that were kept are dropped; they are computed anew when they are needed.",
    ]
    assert copy == path.with_name("club.before-repair-20260302T214000Z.db")
    with closing(sqlite3.connect(copy)) as file, closing(sqlite3.connect(path)) as now_file:
        assert file.execute("SELECT search_text FROM snags").fetchall() == [("frost",)]
        assert now_file.execute("SELECT text, search_text FROM snags").fetchall() == [
            ("A Leg sank", "a leg sank")
        ]
        assert rows_of(file) == rows_of(now_file)
    assert spoilt != path.read_bytes()
    assert triggers(path) == whole
    engine = make_engine(str(path))
    other = make_engine(str(path.with_name("new.db")))
    from obslog.records.upgrading import upgrade

    upgrade(other)
    assert sqlite_schema(engine) == sqlite_schema(other)
    engine.dispose()
    other.dispose()


def test_an_index_at_odds_with_its_table_is_made_anew(path: Path, now: datetime) -> None:
    flip_in_an_index(path)
    done, copy, found = mended(path, now)
    assert "All indexes were made anew." in done
    assert found == []
    assert copy is not None
    engine = make_engine(str(copy))
    assert complaints(engine) != [], "the copy is of the file as it was"
    engine.dispose()


def test_where_rows_stand_in_the_way_of_an_index_it_is_said_and_they_stay(path: Path, now: datetime) -> None:
    """Two laptops' programs without the index may have lent one item twice."""
    with closing(sqlite3.connect(path)) as file:
        (item,), (member,) = (
            file.execute(f"SELECT id FROM {table} LIMIT 1").fetchone() for table in ("equipment", "members")
        )
    loans = ", ".join(
        f"('017f22e2-79b0-7cc3-98c4-dc0c0c07398{n}', '{member}', '2026-02-01', '2026-03-29', '{item}')"
        for n in (1, 2)
    )
    spoil(
        path,
        "DROP INDEX ix_loans_equipment_id",
        f"INSERT INTO loans (id, member_id, out_on, due_on, equipment_id) VALUES {loans}",
    )
    done, _, found = mended(path, now)
    assert any("could not be made, for rows are there twice" in line for line in done)
    assert [one.what for one in found] == [
        "Missing, or not as this version makes it: 1 index (ix_loans_equipment_id)."
    ]
    with closing(sqlite3.connect(path)) as file:
        assert file.execute("SELECT count(*) FROM loans").fetchone() == (2,)


def test_what_is_not_made_from_the_records_is_advice_alone(path: Path, now: datetime) -> None:
    spoil(path, "UPDATE sites SET lat_deg = 95", "CREATE TABLE balloons (id TEXT)")
    before = path.read_bytes()
    done, copy, found = mended(path, now)
    assert (done, copy, len(found)) == ([], None, 2)
    assert path.read_bytes() == before


def test_on_a_server_no_copy_is_made_and_the_rest_is_put_right(
    postgres_database: Database, now: datetime
) -> None:
    add(postgres_database, now, "Ines")
    with postgres_database.engine.begin() as connection:
        connection.exec_driver_sql("DROP INDEX ix_loans_member_id")
    found = look_through(postgres_database, now)
    assert [one.what for one in found] == [
        "Missing, or not as this version makes it: 1 index (ix_loans_member_id)."
    ]
    done = mend(postgres_database, found, now)
    assert done.copy is None
    assert "The index ix_loans_member_id was made anew." in done.done
    assert look_through(postgres_database, now) == []
