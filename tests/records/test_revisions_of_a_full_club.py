"""Down and up through every revision, as developers do, with two years of a club on record."""

from datetime import UTC, date, datetime

import pytest
from alembic import command
from alembic.script import ScriptDirectory
from sqlalchemy import inspect, text

from obslog.records.care.damage import complaints
from obslog.records.engine import make_engine, writing
from obslog.records.opening import open_database
from obslog.records.upgrading import SCHEMA_REVISION, BrokenReferences
from seed_demo.load import fill
from tests.records.developers import on_database
from tests.records.tables.test_schema import alembic_config, compare_with_the_program

LAST_NIGHT, NOON_AFTER = date(2026, 10, 31), datetime(2026, 11, 1, 12, tzinfo=UTC)
LOG = {"acts", "changes"}  # which a revision tells more
REVISIONS = sorted(
    script.revision for script in ScriptDirectory.from_config(alembic_config()).walk_revisions()
)


def counts(target: str) -> dict[str, int]:
    """How many rows each table holds."""
    engine = make_engine(target)
    with engine.connect() as connection:
        tables = sorted(set(inspect(connection).get_table_names()) - {"alembic_version"})
        found = {
            table: connection.execute(text(f"SELECT count(*) FROM {table}")).scalar_one() for table in tables
        }
    engine.dispose()
    return found


@pytest.fixture
def full_target(new_target: str) -> str:
    database = open_database(new_target, NOON_AFTER, lambda _: None)
    fill(database, LAST_NIGHT, NOON_AFTER, lambda _: None)
    database.close()
    return new_target


def test_no_row_of_a_table_that_stays_is_lost_on_the_way_down_and_up(full_target: str) -> None:
    before = counts(full_target)
    assert before["arrivals"] > 1000
    on_the_way = {SCHEMA_REVISION: before}
    for revision in reversed(REVISIONS[:-1]):
        on_database(full_target, command.downgrade, revision)
        on_the_way[revision] = counts(full_target)
        assert on_the_way[revision].items() <= before.items(), revision
    for revision in REVISIONS[1:]:
        on_database(full_target, command.upgrade, revision)
        now = counts(full_target)
        kept = on_the_way[REVISIONS[0]]
        assert {(table, now[table]) for table in kept if table not in LOG} <= kept.items(), revision
        assert all(now[table] >= kept[table] for table in LOG), revision
        assert now.keys() == on_the_way[revision].keys()
    engine = make_engine(full_target)
    compare_with_the_program(engine)
    assert complaints(engine) == []
    engine.dispose()


def test_what_would_leave_a_reference_to_nothing_is_refused_as_a_whole(sqlite_path: str) -> None:
    target = str(sqlite_path)
    engine = make_engine(target)
    with writing(engine).connect() as connection:
        raw = connection.connection.driver_connection
        assert raw is not None
        raw.execute("PRAGMA foreign_keys=OFF").close()
        with connection.begin():
            connection.execute(
                text("INSERT INTO nights (id, site_id, night_of, open) VALUES ('1', 'none', '2026-03-02', 0)")
            )
    engine.dispose()
    with pytest.raises(BrokenReferences):
        on_database(target, command.downgrade, REVISIONS[-2])
    engine = make_engine(target)
    with engine.connect() as connection:
        assert connection.execute(text("SELECT version_num FROM alembic_version")).all() == [
            (SCHEMA_REVISION,)
        ]
    engine.dispose()
