"""An import that is killed or finds no room leaves the database as it was."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from sqlalchemy import event

from obslog.club.sheets.arrivals_files import import_arrivals
from obslog.records.driver_errors import DatabaseInUse, DiskFull
from obslog.records.opening import Database, open_database
from tests.club.sheets.sheets import LATER, counts, exported, row, sheet_text, written

ROOT = Path(__file__).resolve().parents[3]
KILLED_IMPORT = """
import os, signal, sys
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from sqlalchemy import Engine, event
from obslog.club.sheets.arrivals_files import import_arrivals
from obslog.records.opening import open_database

database = open_database(sys.argv[1], datetime.now(UTC), print)
statements, last = count(1), int(sys.argv[3])

@event.listens_for(database.engine, "before_cursor_execute")
def stop(connection, cursor, statement, *others):
    if statement.startswith("INSERT") and next(statements) == last:
        os.kill(os.getpid(), signal.SIGKILL)

import_arrivals(database, Path(sys.argv[2]), datetime(2026, 12, 31, tzinfo=UTC), create=True)
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


@pytest.mark.parametrize("statement", [1, 5, 7])
def test_an_import_killed_at_any_statement_leaves_nothing(
    database: Database, tmp_path: Path, statement: int
) -> None:
    path = written(tmp_path, many_rows(20))
    before = counts(database)
    database.engine.dispose()
    child = subprocess.run(
        [sys.executable, "-c", KILLED_IMPORT, target_of(database), str(path), str(statement)],
        cwd=ROOT, env={**os.environ, "PYTHONPATH": str(ROOT)}, capture_output=True, text=True, timeout=60,
    )  # fmt: skip
    assert child.returncode == -signal.SIGKILL, child.stderr
    assert counts(database) == before
    assert import_arrivals(database, path, LATER, create=True).added == 20


def test_a_full_disk_leaves_nothing_and_says_so(sqlite_path: Path, tmp_path: Path) -> None:
    database = open_database(str(sqlite_path), LATER, print)

    @event.listens_for(database.engine, "connect")
    def limit(dbapi, _record):  # type: ignore[no-untyped-def]
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
