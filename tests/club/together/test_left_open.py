"""A set-up that one laptop has open in a night that the other has ended is told until somebody says when it ended."""

from datetime import datetime, timedelta

from obslog.club.night.nights import end_night, start_night
from obslog.club.night.open_night import NightChoice, SetupChoice
from obslog.club.night.setup_corrections import end_setup
from obslog.club.night.setups import show_setup, start_setup
from obslog.club.together.contradictions import list_conflicts
from obslog.records.database import Database
from tests.club.together.conftest import Give

HOUR = timedelta(hours=1)


def observe(database: Database, mount: str, now: datetime) -> None:
    start_night(database, "Mill Field", now)
    start_setup(database, mount, now, tube="Long tube", observer="Ines")


def test_it_stays_open_and_the_merge_says_how_to_end_it(
    here: Database, there: Database, give: Give, now: datetime
) -> None:
    observe(here, "Heron", now)
    observe(there, "Thistle", now)
    end_night(here, NightChoice(), now + HOUR)
    [told] = give(there, here).to_settle
    assert (told.kind, told.why) == ("set-up", "open")
    assert told.sentence == (
        "Set-up 1 of Thistle in the night of 2026-03-02 at Mill Field is open, and its night has ended."
    )
    assert told.settle == "When it ended: obslog setup end Thistle --at HH:MM"
    assert show_setup(here, SetupChoice(mount="Thistle")).open
    assert list_conflicts(here).to_settle == [told]


def test_once_it_has_ended_on_either_laptop_nothing_is_told(
    here: Database, there: Database, give: Give, now: datetime
) -> None:
    observe(here, "Heron", now)
    observe(there, "Thistle", now)
    end_night(here, NightChoice(), now + HOUR)
    give(here, there)
    [told] = list_conflicts(there).to_settle
    assert "Thistle" in told.sentence
    end_setup(there, SetupChoice(mount="Thistle"), now + 3 * HOUR, at="23:10")
    assert list_conflicts(there).to_settle == []
    assert give(there, here).to_settle == []


def test_an_open_set_up_of_an_open_night_is_nothing_to_settle(here: Database, now: datetime) -> None:
    observe(here, "Heron", now)
    assert list_conflicts(here).to_settle == []
    end_night(here, NightChoice(), now + HOUR)
    assert list_conflicts(here).to_settle == []
