"""Nights as they are shown, one or many."""

from datetime import date, datetime

import pytest

from obslog.club.night.night_pages import list_nights, show_night
from obslog.club.night.nights import end_night, start_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.open_night import NightChoice, NoSuchNight
from obslog.club.night.setups import start_setup
from obslog.errors import UnknownName
from obslog.records.database import Database

OPEN = NightChoice()


def test_nights_are_listed_newest_first_with_what_they_hold(evening: Database, now: datetime) -> None:
    start_night(evening, "Kestrel Ridge", now, night=date(2026, 2, 1))
    lines = list_nights(evening)
    assert [(n.night, n.site, n.setups, n.arrivals, n.present) for n in lines] == [
        (date(2026, 3, 2), "Mill Field", 1, 0, ["Ines"]),
        (date(2026, 2, 1), "Kestrel Ridge", 0, 0, []),
    ]
    assert list_nights(evening, most=1) == lines[:1]
    assert list_nights(evening, site="kestrel ridge") == lines[1:]


def test_whoever_set_up_or_saw_something_was_there_whether_noted_or_not(
    club: Database, now: datetime
) -> None:
    """Nobody was noted at the start: the night's page said that nobody on record was there."""
    start_night(club, "Mill Field", now)
    start_setup(club, "Heron", now, tube="Long tube", observer="Ines")
    record_observations(club, "M 31", ObservationEntry(), now, observers=["Bram Ostler"])
    everybody = ["Bram Ostler", "Ines"]
    assert show_night(club, OPEN).present == everybody
    assert [night.present for night in list_nights(club)] == [everybody]


def test_the_newest_night_is_shown_where_none_is_open(evening: Database, now: datetime) -> None:
    end_night(evening, OPEN, now)
    assert show_night(evening, OPEN).night == date(2026, 3, 2)


def test_a_night_that_is_not_on_record_is_refused(club: Database) -> None:
    with pytest.raises(NoSuchNight):
        show_night(club, OPEN)
    with pytest.raises(NoSuchNight):
        show_night(club, NightChoice(site="Mill Field", night=date(2026, 3, 2)))
    with pytest.raises(UnknownName):
        show_night(club, NightChoice(site="Mill Feld"))
