"""A club as often as a test wants one."""

from collections.abc import Callable, Iterator
from pathlib import Path
from shutil import copy

import pytest

from obslog.records.database import Database
from obslog.records.engine import make_engine


@pytest.fixture
def fresh_club(club_file: Path, tmp_path: Path) -> Iterator[Callable[[], Database]]:
    """Opens a new copy of the small club each time it is called."""
    opened: list[Database] = []

    def fresh() -> Database:
        path = copy(club_file, tmp_path / f"{len(opened)}.db")
        opened.append(Database(make_engine(str(path)), str(path)))
        return opened[-1]

    yield fresh
    for database in opened:
        database.close()
