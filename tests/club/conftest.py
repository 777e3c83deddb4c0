"""An evening of the invented club: a night is open, and in it a set-up."""

from datetime import datetime, timedelta

import numpy as np
import pytest

from obslog.club.night.nights import start_night
from obslog.club.night.setups import start_setup
from obslog.club.register import named_records
from obslog.records.database import Database
from tests.club.performance.histories import NOW, Evening, drawn, fortnightly, put_on_record
from tests.written_once import Rows, put_rows, written_once

MOUNTS = ("Alder", "Birch", "Cedar")


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


@pytest.fixture
def club_of_three(sqlite_database: Database) -> Database:
    """Three mounts, each set up twelve times by two members in turn."""
    site = {"zone": "Europe/London", "lat_deg": 52.2, "lon_deg": 0.12}
    named_records.add(sqlite_database, "site", "Mill Field", site, NOW)
    for kind, names in (("mount", MOUNTS), ("member", ("Ines", "Tomasz"))):
        for name in names:
            named_records.add(sqlite_database, kind, name, {}, NOW)
    rng = np.random.default_rng(3)
    put_on_record(
        sqlite_database,
        (
            Evening(
                night, drawn(rng, 6), mount=mount, observer=("Ines", "Tomasz")[place % 2], site="Mill Field"
            )
            for place, night in enumerate(fortnightly(12))
            for mount in MOUNTS
        ),
    )
    return sqlite_database
