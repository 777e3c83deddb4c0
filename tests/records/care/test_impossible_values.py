"""Values that this version would refuse are found, each rule by itself, with an example; sound ones are not."""

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest
from sqlalchemy import CheckConstraint, text

from obslog.records.care.checking import look_through
from obslog.records.care.copying import back_up
from obslog.records.care.finding import Finding
from obslog.records.care.impossible_values import broken_rules, unreadable_values
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.records.opening import open_database
from obslog.records.tables.schema import metadata
from tests.records.care.spoilt import spoil

KEY = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
BROKEN = {
    "UPDATE sites SET lat_deg = 90.5": "1 row of sites with lat_deg outside of -90 to 90.",
    "UPDATE arrivals SET role = 'jump'": "1 row of arrivals with a word in role that is none of those known.",
    "UPDATE loans SET back_on = '2026-01-31'": "1 row of loans that came back before they went out.",
    "UPDATE kit_parts SET label = ''": "1 row of kit parts with label outside of 1 to 200 characters.",
    "UPDATE battery_tests SET rest_volts = 130": "1 row of battery tests with rest_volts outside of 0 to 100.",
    "UPDATE arrivals SET offset_east_arcmin = 1, offset_north_arcmin = NULL": (
        "1 row of arrivals with one of the two offsets alone."
    ),
}
MISSHAPEN = {
    "UPDATE arrivals SET at_utc = 'last night'": ("1 row of arrivals with at_utc that is no time.", True),
    "UPDATE arrivals SET at_utc = '2026-03-02T21:40:00Z'": ("1 row of arrivals with at_utc that is no time.", True),
    "UPDATE arrivals SET at_utc = '2026-13-02T21:40:00.000000Z'": (
        "1 row of arrivals with at_utc that is no time.", True,
    ),
    "UPDATE nights SET night_of = '2026-02-30'": ("1 row of nights with night_of that is no date.", True),
    "UPDATE nights SET open = 7": ("1 row of nights with open that is no yes or no.", True),
    "UPDATE mended_snags SET id = '12'": ("1 row of mended snags with id that is no key.", True),
    "UPDATE snags SET text = 'a' || char(27) || '[2J'": ("1 row of snags with text that is no plain text.", False),
    "UPDATE members SET name_key = 'nobody'": ("1 row of members cannot be found by name.", True),
}  # fmt: skip


def found_in(database: Database) -> list[Finding]:
    with database.engine.connect() as connection:
        return [*broken_rules(database.engine), *unreadable_values(connection)]


@pytest.fixture
def full_file(full_database: Database, tmp_path: Path) -> Iterator[Database]:
    """A file of its own with one record in every table; a server keeps its own rules."""
    if full_database.engine.dialect.name != "sqlite":
        pytest.skip("a server lets no row break a rule")
    path = back_up(full_database.engine, tmp_path / "full.db").file
    database = Database(make_engine(str(path)), str(path))
    yield database
    database.close()


def test_there_is_nothing_to_find_in_one_sound_record_of_every_table(full_database: Database) -> None:
    assert found_in(full_database) == []


@pytest.mark.parametrize("statement", BROKEN)
def test_a_value_outside_of_its_rule_is_told_with_its_row(full_file: Database, statement: str) -> None:
    spoil(full_file.where, statement)
    (found,) = found_in(full_file)
    assert (found.what, found.count, found.grave, found.repairable) == (BROKEN[statement], 1, True, False)
    assert found.example is not None
    assert found.example.startswith("key ")


@pytest.mark.parametrize("statement", MISSHAPEN)
def test_a_value_in_a_form_that_is_not_the_programs_is_told(full_file: Database, statement: str) -> None:
    spoil(full_file.where, statement)
    (found,) = found_in(full_file)
    assert (found.what, found.grave) == MISSHAPEN[statement]


ON_A_SERVER = {
    "UPDATE arrivals SET at_utc = 'infinity'": ("1 row of arrivals with at_utc that is no time.", True),
    "UPDATE acts SET at_utc = '-infinity'": ("1 row of acts with at_utc that is no time.", True),
    "UPDATE nights SET night_of = '12000-03-02'": ("1 row of nights with night_of that is no date.", True),
    "UPDATE loan_parts SET back_on = '0044-03-15 BC'": ("1 row of loan parts with back_on that is no date.", True),
    "UPDATE snags SET text = 'a' || chr(27) || '[2J'": ("1 row of snags with text that is no plain text.", False),
    "UPDATE members SET name_key = 'nobody'": ("1 row of members cannot be found by name.", True),
}  # fmt: skip


@pytest.mark.parametrize("statement", ON_A_SERVER)
def test_what_the_types_of_a_server_let_pass_is_told_and_breaks_no_other_check(
    full_database: Database, now: datetime, statement: str
) -> None:
    """The driver of a server cannot even read some of them: a check that met one would end there."""
    if full_database.engine.dialect.name == "sqlite":
        pytest.skip("a file is tried above")
    with full_database.engine.begin() as connection:
        connection.exec_driver_sql(statement)
    (found,) = [one for one in look_through(full_database, now) if one.subject == "values"]
    assert (found.what, found.count, found.grave) == (ON_A_SERVER[statement][0], 1, ON_A_SERVER[statement][1])
    assert found.example is not None
    assert found.example.startswith("key ")


def test_a_server_whose_rule_was_dropped_is_asked_all_the_same(
    new_postgres_url: Callable[[], str], now: datetime
) -> None:
    database = open_database(new_postgres_url(), now, lambda _: None)
    with database.engine.begin() as connection:
        connection.exec_driver_sql("ALTER TABLE sites DROP CONSTRAINT ck_sites_lat_deg_range")
        values = ", ".join(
            f"('{KEY[:-1]}{n}', 'Hill {n}', 'hill {n}', {lat})" for n, lat in enumerate((95, "'NaN'", 5))
        )
        connection.exec_driver_sql(f"INSERT INTO sites (id, name, name_key, lat_deg) VALUES {values}")
    (found,) = found_in(database)
    database.close()
    assert found.what == "2 rows of sites with lat_deg outside of -90 to 90."
    assert found.example == f"key {KEY[:-1]}0: lat_deg '95'"


def test_every_rule_of_every_table_is_asked(full_database: Database) -> None:
    """A rule whose question cannot be asked of the database would be passed over without a word."""
    with full_database.engine.connect() as connection:
        for table in metadata.sorted_tables:
            for rule in table.constraints:
                if isinstance(rule, CheckConstraint):
                    query = f"SELECT count(*) FROM {table.name} WHERE NOT ({rule.sqltext})"
                    assert connection.execute(text(query)).scalar_one() == 0


def test_many_rows_are_counted_and_the_first_is_the_example(sqlite_database: Database) -> None:
    rows = ", ".join(f"('{KEY[:-1]}{n}', 'Hill {n}', 'hill {n}', 95)" for n in range(3))
    spoil(sqlite_database.where, f"INSERT INTO sites (id, name, name_key, lat_deg) VALUES {rows}")
    (found,) = found_in(sqlite_database)
    assert (found.count, found.example) == (3, f"key {KEY[:-1]}0: lat_deg '95.0'")


def test_a_table_that_is_not_there_is_passed_by(sqlite_database: Database) -> None:
    spoil(sqlite_database.where, "DROP TABLE battery_tests", "ALTER TABLE members DROP COLUMN note")
    assert found_in(sqlite_database) == []
