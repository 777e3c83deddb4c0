"""A brief and a checklist read the nights once, however many mounts there are, and see what each says alone."""

from datetime import timedelta

import pytest

from obslog.club.checklist.briefing import brief
from obslog.club.checklist.checklist import checklist
from obslog.club.checklist.past_nights import read_past_nights
from obslog.club.performance.polar_record import polar_record
from obslog.club.register.observing_site import observing_site
from obslog.records.database import Database
from tests.club.conftest import MOUNTS
from tests.club.performance.histories import NOW, counted_reading
from tests.club.performance.test_mount_fit import take_in


@pytest.mark.parametrize("mounts", [MOUNTS[:1], MOUNTS])
def test_a_brief_reads_the_arrivals_once_for_all_its_mounts(
    club_of_three: Database, mounts: tuple[str, ...]
) -> None:
    view = observing_site(club_of_three, "Mill Field")
    with counted_reading(club_of_three) as count:
        made = brief(club_of_three, view, NOW, mounts)
    assert [one.mount for one in made.mounts] == list(mounts)
    # One session for all mounts and one for the targets; the arrivals of each mount once, then never.
    assert count == {"sessions": 2, "arrivals": len(MOUNTS)}


def test_a_checklist_reads_in_one_session_and_the_arrivals_once(club_of_three: Database) -> None:
    with counted_reading(club_of_three) as count:
        checklist(club_of_three, "Birch", "Mill Field", NOW)
    assert count == {"sessions": 1, "arrivals": len(MOUNTS)}
    with counted_reading(club_of_three) as count:
        checklist(club_of_three, "Birch", "Mill Field", NOW)
    assert count == {"sessions": 1, "arrivals": 0}


def test_what_is_known_of_each_mount_is_what_it_says_alone(sqlite_database: Database) -> None:
    take_in(sqlite_database, "german_one_sync")
    until = NOW.date()
    with sqlite_database.read() as session:
        past = read_past_nights(session, until)
    assert past.polar == {"Heron": polar_record(sqlite_database, "Heron", until)}
    assert [one.night_of for one in past.occasions] == sorted(one.night_of for one in past.occasions)
    first = past.occasions[0].night_of
    with sqlite_database.read() as session:
        before = read_past_nights(session, first - timedelta(days=1))
        at_first = read_past_nights(session, first)
    assert before.occasions == []
    assert before.polar["Heron"].separations == []
    assert [one.night_of for one in at_first.occasions] == [first]
    assert {label.night for label, _ in at_first.polar["Heron"].separations} <= {first}
