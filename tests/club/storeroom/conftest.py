"""A kit in the store, for the tests of loans."""

from datetime import datetime

import pytest

from obslog.club.storeroom.kits import add_kit
from obslog.records.database import Database


@pytest.fixture
def kit(club: Database, now: datetime) -> Database:
    """The club with an evening kit: a mount, a tube, an eyepiece and a cap."""
    add_kit(club, "Evening kit", ["Heron", "Long tube", "Wide 25", "dust cap"], now)
    return club
