"""What differs in a schema from what this version makes is named: what is missing, what is not ours, other rules."""

from collections.abc import Callable
from pathlib import Path

import pytest

from obslog.records.care.schema_drift import drift_found
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.records.opening import open_database
from obslog.records.roles.server_objects import objects_as_made
from tests.conftest import NOW, quiet
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


# The same on a server.
ON_SERVER: dict[str, tuple[str, bool, bool]] = {
    "DROP TABLE battery_tests": (
        "Missing, or not as this version makes it: 1 table (battery_tests).", True, False,
    ),
    "ALTER TABLE photographs DROP COLUMN taken_on": (
        "Missing, or not as this version makes it: 1 column (photographs.taken_on).", True, False,
    ),
    "DROP INDEX ix_loans_member_id": (
        "Missing, or not as this version makes it: 1 index (ix_loans_member_id).", True, True,
    ),
    "DROP INDEX ix_loans_member_id; CREATE INDEX ix_loans_member_id ON loans (out_on)": (
        "Missing, or not as this version makes it: 1 index (ix_loans_member_id).", True, True,
    ),
    "DROP TRIGGER count_changes_of_nights ON nights": (
        "Missing, or not as this version makes it: 1 trigger (count_changes_of_nights).", False, True,
    ),
    "ALTER TABLE nights DISABLE TRIGGER count_changes_of_nights": (
        "Missing, or not as this version makes it: 1 trigger (count_changes_of_nights).", False, True,
    ),
    "CREATE OR REPLACE FUNCTION count_changes_of_nights() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN END'": (
        "Missing, or not as this version makes it: 1 trigger (count_changes_of_nights).", False, True,
    ),
    "ALTER TABLE sites DROP CONSTRAINT ck_sites_lat_deg_range": (
        "With other rules than this version gives: 1 table (sites).", False, False,
    ),
    "ALTER TABLE setups DROP CONSTRAINT fk_setups_night_id_nights": (
        "With other rules than this version gives: 1 table (setups).", False, False,
    ),
    "ALTER TABLE members ALTER COLUMN name DROP NOT NULL": (
        "With other rules than this version gives: 1 table (members).", False, False,
    ),
    "ALTER TABLE members ALTER COLUMN note TYPE varchar(5)": (
        "With other rules than this version gives: 1 table (members).", False, False,
    ),
    "CREATE TABLE balloons (id uuid PRIMARY KEY)": ("Not of this program: 1 table (balloons).", False, False),
    "ALTER TABLE members ADD COLUMN badge text": ("Not of this program: 1 column (members.badge).", False, False),
    "CREATE INDEX mine ON members (note)": ("Not of this program: 1 index (mine).", False, False),
    "CREATE FUNCTION mine() RETURNS int LANGUAGE sql AS 'SELECT 1'": (
        "Not of this program: 1 function (mine).", False, False,
    ),
}  # fmt: skip


@pytest.mark.parametrize("statement", ON_SERVER)
def test_what_differs_on_a_server_is_named(new_postgres_url: Callable[[], str], statement: str) -> None:
    database = open_database(new_postgres_url(), NOW, quiet)
    with database.engine.begin() as connection:
        connection.exec_driver_sql(statement)
    found = drift_found(database.engine)
    database.close()
    assert [(one.what, one.grave, one.repairable) for one in found] == [ON_SERVER[statement]]


def test_what_is_made_to_compare_with_is_gone_afterwards(postgres_database: Database) -> None:
    asked = "SELECT count(*) FROM pg_namespace WHERE starts_with(nspname, 'obslog')"
    with postgres_database.engine.connect() as connection:
        before = connection.exec_driver_sql("SELECT current_setting('search_path')").scalar_one()
        objects_as_made(connection)
        assert connection.exec_driver_sql(asked).scalar_one() == 0
        assert connection.exec_driver_sql("SELECT current_setting('search_path')").scalar_one() == before
