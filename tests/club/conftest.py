"""An evening of the invented club: a night is open, and in it a set-up."""

from datetime import datetime, timedelta

import pytest

from obslog.club.nights import start_night
from obslog.club.setups import start_setup
from obslog.records.opening import Database


@pytest.fixture
def evening(club: Database, now: datetime) -> Database:
    """The club with Juniper and Long Tom set up by Ada Quill at Heron Meadow two hours ago, and Wide 25 in use."""
    dusk = now - timedelta(hours=2)
    start_night(club, "Heron Meadow", dusk, present=["Ada Quill"])
    start_setup(club, "Juniper", dusk, tube="Long Tom", observer="Ada Quill", eyepiece="Wide 25")
    return club
