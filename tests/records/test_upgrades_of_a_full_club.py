"""A filled database of every earlier revision, opened by this version: each value is as it was before the upgrade."""

import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from alembic import command

from obslog.records.care.checking import look_through
from obslog.records.opening import open_database
from obslog.records.upgrading import SCHEMA_REVISION
from seed_demo.load import fill
from tests.records.developers import on_database
from tests.records.test_revisions_of_a_full_club import REVISIONS

LAST_NIGHT, NOON_AFTER = date(2026, 10, 31), datetime(2026, 11, 1, 12, tzinfo=UTC)
Rows = dict[str, dict[str, dict[str, object]]]
# Made otherwise on purpose: since when an item is missing went from papers and parts into absences (0006).
# An undoing is an act of its own now, and needs no day on which it was settled (0012).
MADE_OTHERWISE = {("papers", "missing_since"), ("kit_parts", "missing_since"), ("acts", "settled_utc")}
# What was on record without an act is written down as one (0012); the acts that there were stay.
ADDED_TO = {"acts", "changes"}
# Results are computed anew, and a file that went down and up again counts its changes anew.
COMPUTED = {"kept_results", "mount_changes", "alembic_version"}


def rows_of(path: Path) -> Rows:
    """Every row of every table, by its key, with the names of its columns."""
    with closing(sqlite3.connect(path)) as file:
        file.row_factory = sqlite3.Row
        tables = [name for (name,) in file.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {
            table: {row["id"]: dict(row) for row in file.execute(f"SELECT * FROM {table}")}
            for table in tables
            if table not in COMPUTED and not table.startswith("sqlite_")
        }


@pytest.fixture(scope="module")
def older_files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Two years of a club in a file of every earlier revision: taken down step by step, as developers do."""
    folder = tmp_path_factory.mktemp("older")
    path = folder / "club.db"
    database = open_database(str(path), NOON_AFTER, lambda _: None)
    fill(database, LAST_NIGHT, NOON_AFTER, lambda _: None)
    database.close()
    files = {}
    for revision in reversed(REVISIONS[:-1]):
        on_database(str(path), command.downgrade, revision)
        files[revision] = Path(shutil.copy(path, folder / f"{revision}.db"))
    return files


@pytest.mark.slow
@pytest.mark.parametrize("revision", REVISIONS[:-1])
def test_every_value_is_as_it_was_before_the_upgrade(
    revision: str, older_files: dict[str, Path], tmp_path: Path
) -> None:
    path = Path(shutil.copy(older_files[revision], tmp_path / "club.db"))
    before = rows_of(path)
    assert len(before["arrivals"]) > 1000
    said: list[str] = []
    database = open_database(str(path), NOON_AFTER, said.append)
    assert [one for one in look_through(database, NOON_AFTER) if one.grave] == []
    database.close()
    after = rows_of(path)
    assert before.keys() <= after.keys()
    for table, rows in before.items():
        assert rows.keys() == after[table].keys() or (
            table in ADDED_TO and rows.keys() < after[table].keys()
        ), table
        lost = set(next(iter(rows.values()))) - set(next(iter(after[table].values()))) if rows else set()
        assert {(table, column) for column in lost} <= MADE_OTHERWISE
        for key, row in rows.items():
            now = after[table][key]
            for column, value in row.items():
                if column in now and (table, column) not in MADE_OTHERWISE and column != "search_text":
                    assert now[column] == value, (table, key, column)
    (copy,) = path.parent.glob(f"club.before-{SCHEMA_REVISION}-*.db")
    assert rows_of(copy) == before
