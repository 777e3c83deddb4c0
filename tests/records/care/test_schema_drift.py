"""What differs in a schema from what this version makes is named: what is missing, what is not ours, other rules."""

from pathlib import Path

import pytest

from obslog.records.care.schema_drift import drift_found
from obslog.records.engine import make_engine
from obslog.records.opening import Database
from tests.records.care.spoilt import spoil

# What is done to the file, what is said, whether that is grave, and whether --repair puts it right.
DRIFTS: dict[str, tuple[str, bool, bool]] = {
    "DROP TABLE battery_tests": (
        "Missing, or not as this version makes it: 1 table (battery_tests).", True, False,
    ),
    "ALTER TABLE members DROP COLUMN note": (
        "Missing, or not as this version makes it: 1 column (members.note).", True, False,
    ),
    "DROP INDEX ix_loans_member_id": (
        "Missing, or not as this version makes it: 1 index (ix_loans_member_id).", True, True,
    ),
    "DROP TRIGGER count_changes_of_nights_update": (
        "Missing, or not as this version makes it: 1 trigger (count_changes_of_nights_update).", False, True,
    ),
    "CREATE TABLE balloons (id TEXT)": ("Not of this program: 1 table (balloons).", False, False),
    "ALTER TABLE members ADD COLUMN badge TEXT": ("Not of this program: 1 column (members.badge).", False, False),
    "CREATE INDEX mine ON members (note)": ("Not of this program: 1 index (mine).", False, False),
    "CREATE TRIGGER mine AFTER INSERT ON sites BEGIN DELETE FROM members; END": (
        "Not of this program: 1 trigger (mine).", False, False,
    ),
}  # fmt: skip


def test_what_the_revisions_made_is_as_this_version_makes_it(database: Database) -> None:
    assert drift_found(database.engine) == []


@pytest.mark.parametrize("statement", DRIFTS)
def test_what_differs_is_named(sqlite_path: Path, statement: str) -> None:
    spoil(sqlite_path, statement)
    engine = make_engine(str(sqlite_path))
    found = drift_found(engine)
    engine.dispose()
    told = DRIFTS[statement]
    assert (found[0].what, found[0].grave, found[0].repairable) == told


def test_an_index_of_the_same_name_over_other_columns_is_not_as_it_should_be(sqlite_path: Path) -> None:
    spoil(sqlite_path, "DROP INDEX ix_loans_member_id", "CREATE INDEX ix_loans_member_id ON loans (out_on)")
    engine = make_engine(str(sqlite_path))
    (found,) = drift_found(engine)
    engine.dispose()
    assert "1 index (ix_loans_member_id)" in found.what


def test_a_table_without_its_rules_is_told(sqlite_path: Path) -> None:
    spoil(
        sqlite_path,
        "PRAGMA writable_schema=ON",
        "UPDATE sqlite_master SET sql = replace(sql, 'lat_deg BETWEEN -90 AND 90', 'lat_deg < 999') "
        "WHERE name = 'sites'",
    )
    engine = make_engine(str(sqlite_path))
    (found,) = drift_found(engine)
    engine.dispose()
    assert found.what == "With other rules than this version gives: 1 table (sites)."
    assert not found.grave


def test_what_a_server_lacks_is_named(postgres_database: Database) -> None:
    with postgres_database.engine.begin() as connection:
        for statement in (
            "DROP INDEX ix_loans_member_id",
            "DROP TRIGGER count_changes_of_nights ON nights",
            "ALTER TABLE photographs DROP COLUMN taken_on",
        ):
            connection.exec_driver_sql(statement)
        # within the transaction alone: the other tests share the server
        from obslog.records.care.schema_drift import drift_of_server

        drift = drift_of_server(connection)
        connection.rollback()
    assert drift.missing == {
        "column": ["photographs.taken_on"],
        "index": ["ix_loans_member_id"],
        "trigger": ["count_changes_of_*"],
    }
