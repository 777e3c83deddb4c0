"""What happened in a night, in order of time."""

from datetime import datetime, timedelta

from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.nights import end_night, note_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.open_night import NightChoice, SetupChoice
from obslog.club.night.setups import start_setup
from obslog.club.night.snags import add_snag
from obslog.club.pages.night_facts import night_facts
from obslog.grammar.sky_readings import read_sky
from obslog.records.database import Database
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.steps import Step


def test_all_of_it_stands_in_order_whatever_it_is(evening: Database, now: datetime) -> None:
    """Two hours after dusk, by the clocks of Mill Field, which are those of UTC in March."""
    start = now - timedelta(hours=1)
    record_arrival(evening, Role.SYNC, ArrivalEntry(target="Capella"), SetupChoice(), start, sure=True)
    note_night(evening, NightChoice(), start + timedelta(minutes=5), sky=[read_sky("antoniadi 2")])
    add_snag(evening, Step.LEVEL, "bubble off", start + timedelta(minutes=10))
    record_observations(evening, "M 42", ObservationEntry(), start + timedelta(minutes=15))
    end_night(evening, NightChoice(), now)
    story = night_facts(evening, now.date(), None, now).story
    assert [(one.at, one.what) for one in story] == [
        ("19:40", "the night was begun"),
        ("19:40", "Heron, set-up 1: begun"),
        ("20:40", "Heron: sync on Capella"),
        ("20:45", "sky: antoniadi 2"),
        ("20:50", "snag at level: bubble off"),
        ("20:55", "M 42 seen by Ines"),
        ("21:40", "Heron, set-up 1: ended"),
        ("21:40", "the night was ended"),
    ]


def test_a_set_up_has_ended_before_the_one_that_follows_it_begins(evening: Database, now: datetime) -> None:
    """The second set-up ends the first; the third is begun and ended at one instant, in this order."""
    start_setup(evening, "Heron", now, sure=True)
    later = now + timedelta(minutes=30)
    start_setup(evening, "Heron", later, sure=True)
    end_night(evening, NightChoice(), later)
    story = night_facts(evening, now.date(), None, later).story
    assert [(one.at, one.what) for one in story] == [
        ("19:40", "the night was begun"),
        ("19:40", "Heron, set-up 1: begun"),
        ("21:40", "Heron, set-up 1: ended"),
        ("21:40", "Heron, set-up 2: begun"),
        ("22:10", "Heron, set-up 2: ended"),
        ("22:10", "Heron, set-up 3: begun"),
        ("22:10", "Heron, set-up 3: ended"),
        ("22:10", "the night was ended"),
    ]
