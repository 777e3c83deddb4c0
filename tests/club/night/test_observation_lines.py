"""The observations of a night, listed."""

from datetime import date, datetime, timedelta

import pytest

from obslog.club.night.nights import start_night
from obslog.club.night.observation_lines import list_observations
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.open_night import NightChoice, NoSuchNight
from obslog.records.database import Database

OPEN = NightChoice()


def test_observations_are_listed_in_order_of_time(evening: Database, now: datetime) -> None:
    record_observations(evening, "M 13", ObservationEntry(), now)
    early = record_observations(evening, "M 31", ObservationEntry(at="20:00"), now).entries[0]
    assert early.target == "M 31"
    assert [line.target for line in list_observations(evening, OPEN)] == ["M 31", "M 13"]


def test_observations_of_another_night_are_apart(evening: Database, now: datetime) -> None:
    record_observations(evening, "M 13", ObservationEntry(), now)
    start_night(evening, "Mill Field", now + timedelta(days=1))
    assert list_observations(evening, OPEN) == []
    assert len(list_observations(evening, NightChoice(night=date(2026, 3, 2)))) == 1
    with pytest.raises(NoSuchNight):
        list_observations(evening, NightChoice(night=date(2026, 1, 1)))
