"""An evening of the invented club: a night is open, and in it a set-up."""

from datetime import datetime, timedelta

import pytest
from sqlalchemy import insert

from obslog.club.night.nights import start_night
from obslog.club.night.setups import start_setup
from obslog.records.engine import writing
from obslog.records.opening import Database
from tests.conftest import Rows


@pytest.fixture
def sqlite_club(sqlite_database: Database, club_rows: Rows) -> Database:
    """The club on SQLite alone, for what does not depend on the kind of database."""
    with writing(sqlite_database.engine).begin() as connection:
        for table, rows in club_rows:
            connection.execute(insert(table), rows)
    return sqlite_database


@pytest.fixture
def evening(club: Database, now: datetime) -> Database:
    """The club with Heron and Long tube set up by Ines at Mill Field two hours ago, and Wide 25 in use."""
    dusk = now - timedelta(hours=2)
    start_night(club, "Mill Field", dusk, present=["Ines"])
    start_setup(club, "Heron", dusk, tube="Long tube", observer="Ines", eyepiece="Wide 25")
    return club
