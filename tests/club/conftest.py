"""An evening of the invented club: a night is open, and in it a set-up."""

from datetime import datetime, timedelta

import pytest

from obslog.club.night.nights import start_night
from obslog.club.night.setups import start_setup
from obslog.records.opening import Database
from tests.written_once import Rows, put_rows, written_once


@pytest.fixture
def sqlite_club(sqlite_database: Database, club_rows: Rows) -> Database:
    """The club on SQLite alone, for what does not depend on the kind of database."""
    put_rows(sqlite_database.engine, club_rows)
    return sqlite_database


@pytest.fixture
def evening(database: Database, club_rows: Rows, now: datetime) -> Database:
    """The club with Heron and Long tube set up by Ines at Mill Field two hours ago, and Wide 25 in use."""
    dusk = now - timedelta(hours=2)

    def begin(database: Database) -> None:
        put_rows(database.engine, club_rows)
        start_night(database, "Mill Field", dusk, present=["Ines"])
        start_setup(database, "Heron", dusk, tube="Long tube", observer="Ines", eyepiece="Wide 25")

    return written_once(database, begin)
