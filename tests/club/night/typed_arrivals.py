"""Arrivals as the tests of the night type them: into the open set-up, where the star stood in words."""

from datetime import datetime

from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import RecordedArrival, record_arrival
from obslog.club.night.open_night import SetupChoice
from obslog.club.night.setups import ArrivalLine, show_setup
from obslog.offsets import read_offset_or_landing
from obslog.records.database import Database
from obslog.vocabulary.arrivals import Role

OPEN = SetupChoice()


def record(
    database: Database, now: datetime, target: str = "Vega", role: Role = Role.SYNC, **said: object
) -> RecordedArrival:
    if isinstance(said.get("where"), str):
        said["where"] = read_offset_or_landing(str(said["where"]))
    return record_arrival(database, role, ArrivalEntry(target=target, **said), OPEN, now)  # type: ignore[arg-type]


def arrivals(database: Database) -> list[ArrivalLine]:
    return show_setup(database, OPEN).arrivals
