"""A club with nights and loans in a file, and an empty place of either kind to move it to."""

import shutil
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from obslog.records.opening import open_database
from seed_demo.load import fill

LAST_NIGHT, NOON_AFTER = date(2026, 10, 31), datetime(2026, 11, 1, 12, tzinfo=UTC)


@pytest.fixture(scope="session")
def full_file(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The invented club of two years in a file; to be copied."""
    path = Path(shutil.copy(sqlite_template, tmp_path_factory.mktemp("full") / "club.db"))
    database = open_database(str(path), NOON_AFTER, lambda _: None)
    fill(database, LAST_NIGHT, NOON_AFTER, lambda _: None)
    database.close()
    return path


@pytest.fixture
def full_club(full_file: Path, tmp_path: Path) -> Path:
    """A copy of it of this test's own."""
    return Path(shutil.copy(full_file, tmp_path / "old.db"))
