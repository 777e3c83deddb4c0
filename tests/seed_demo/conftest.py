"""One demo club, built once for all tests that only look at it."""

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from shutil import copy

import numpy as np
import pytest

from obslog.records.database import Database
from obslog.records.engine import make_engine
from seed_demo.build import build_demo
from seed_demo.load import fill
from seed_demo.records import DemoClub

LAST_NIGHT = date(2026, 10, 31)
NOON_AFTER = datetime(2026, 11, 1, 12, tzinfo=UTC)


@pytest.fixture(scope="session")
def club() -> DemoClub:
    return build_demo(LAST_NIGHT, np.random.default_rng(1))


@pytest.fixture(scope="session")
def demo(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    """The demo club on record, to be looked at only."""
    path = Path(copy(sqlite_template, tmp_path_factory.mktemp("demo") / "demo.db"))
    database = Database(make_engine(str(path)), str(path))
    fill(database, LAST_NIGHT, NOON_AFTER, lambda _done: None)
    yield database
    database.close()
