"""An import that is killed or finds no room leaves the database as it was."""

from pathlib import Path

import pytest
from sqlalchemy import event

from obslog.club.sheets.arrivals_files import import_arrivals
from obslog.records.database import Database
from obslog.records.driver_errors import DatabaseInUse, DiskFull
from obslog.records.opening import open_database
from tests.club.sheets.sheets import LATER, counts, exported, row, sheet_text, written
from tests.records.children import kill_at_each_statement, left_at_each_statement

KILLED_IMPORT = """
from sqlalchemy import text
from obslog.club.sheets.arrivals_files import import_arrivals

def prepare(number):
    pass

def work(number):
    if number:
        database = open_database(sys.argv[1], NOW, print)
        with database.read() as session:
            for table in ("sites", "members", "mounts", "tubes", "nights", "setups", "arrivals", "acts"):
                if session.scalar(text(f"SELECT count(*) FROM {table}")):
                    raise AssertionError(f"{table} were left by the import that was killed before")
        import_arrivals(database, Path(sys.argv[2]), datetime(2026, 12, 31, tzinfo=UTC), create=True)
        database.close()
"""


def many_rows(number: int) -> str:
    """A sheet of so many arrivals, a minute apart, in two nights."""
    return sheet_text(
        *(
            row(night=f"2026-03-0{2 + n % 2}", utc=f"2026-03-0{2 + n % 2}T20:{n // 60 % 60:02}:{n % 60:02}Z",
                target=f"star {n}", note="x" * 200)
            for n in range(number)
        )
    )  # fmt: skip


def target_of(database: Database) -> str:
    if database.engine.dialect.name == "sqlite":
        return database.where
    return database.engine.url.render_as_string(hide_password=False)


@pytest.mark.slow
def test_an_import_killed_at_any_statement_leaves_nothing(database: Database, tmp_path: Path) -> None:
    path = written(tmp_path, many_rows(20))
    database.engine.dispose()
    statements = kill_at_each_statement(KILLED_IMPORT, target_of(database), path)
    assert statements > 15
    found = counts(database)
    assert (found["Arrival"], found["Setup"], found["Act"]) == (20, 2, 1)


@pytest.mark.slow
def test_an_import_stopped_at_any_statement_leaves_a_file_without_it(
    sqlite_path: Path, tmp_path: Path
) -> None:
    sheet = written(tmp_path, many_rows(20))
    with left_at_each_statement(sqlite_path.parent, tmp_path.with_name(tmp_path.name + "-left")) as folders:
        database = open_database(str(sqlite_path), LATER, print)
        import_arrivals(database, sheet, LATER, create=True)
        database.close()
    for folder in folders:
        left = open_database(str(folder / sqlite_path.name), LATER, print)
        assert set(counts(left).values()) == {0}
        left.close()


def test_a_full_disk_leaves_nothing_and_says_so(sqlite_path: Path, tmp_path: Path) -> None:
    database = open_database(str(sqlite_path), LATER, print)

    @event.listens_for(database.engine, "connect")
    def limit(dbapi, _record):
        pages = dbapi.execute("PRAGMA page_count").fetchone()[0]
        dbapi.execute(f"PRAGMA max_page_count={pages + 20}")

    database.engine.dispose()
    before = counts(database)
    with pytest.raises(DiskFull):
        import_arrivals(database, written(tmp_path, many_rows(500)), LATER, create=True)
    assert counts(database) == before
    assert import_arrivals(database, written(tmp_path, many_rows(5)), LATER, create=True).added == 5
    database.close()


def test_an_import_waits_no_longer_than_the_time_out_for_another_writer(
    sqlite_path: Path, tmp_path: Path
) -> None:
    database = open_database(str(sqlite_path), LATER, print, busy_timeout_ms=50)
    other = open_database(str(sqlite_path), LATER, print)
    sheet = written(tmp_path, many_rows(5))
    with other.write(LATER) as session:
        session.connection()  # now the other one holds the lock of a writer
        with pytest.raises(DatabaseInUse):
            import_arrivals(database, sheet, LATER, create=True)
    assert counts(database)["Arrival"] == 0
    assert exported(database).count("\n") == 1
    database.close()
    other.close()
