"""A desk with the small invented club."""

from pathlib import Path

import pytest

from obslog.records.database import Database
from tests.club.bring_in.sheets import Desk


@pytest.fixture
def desk(sqlite_club: Database, tmp_path: Path) -> Desk:
    return Desk(sqlite_club, tmp_path)
