"""What the page of a member shows: own nights, lists and loans, and nothing of anybody else."""

from datetime import datetime, timedelta

import pytest

from obslog.club.night.nights import start_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.overviews.member_facts import OwnNight, member_facts
from obslog.club.storeroom.loan_pages import list_loans
from obslog.club.storeroom.loans import lend
from obslog.club.targets.list_progress import progress_of
from obslog.club.targets.programmes import GOOD_ENTRY
from obslog.errors import UnknownName
from obslog.records.database import Database
from obslog.vocabulary.observations import Sighting


def test_a_night_is_ones_own_by_being_there(club: Database, now: datetime) -> None:
    start_night(club, "Mill Field", now - timedelta(hours=2), present=["Ines"])
    night = OwnNight(night=now.date(), site="Mill Field", mounts=[], observations=0)
    assert member_facts(club, "Ines", now).nights == [night]
    assert member_facts(club, "Bram Ostler", now).nights == []


def test_set_ups_and_loans_are_those_of_the_member(evening: Database, now: datetime) -> None:
    lend(evening, "Bracken", "Ines", now)
    facts = member_facts(evening, "ines", now)
    assert [one.mounts for one in facts.nights] == [["Heron"]]
    assert facts.loans == list_loans(evening, now.date(), member="Ines", with_back=True)
    assert len(facts.loans) == 1
    assert member_facts(evening, "Bram Ostler", now).loans == []


def test_who_is_not_on_record_is_refused(club: Database, now: datetime) -> None:
    with pytest.raises(UnknownName):
        member_facts(club, "Nobody", now)


def test_lists_are_told_as_the_command_tells_them(evening: Database, now: datetime) -> None:
    entry = ObservationEntry(sighting=Sighting.SEEN)
    record_observations(evening, "M 42", entry, now, observers=["Ines"], sure=True)
    facts = member_facts(evening, "Ines", now)
    assert facts.progress == [progress_of(evening, "Ines", "messier", GOOD_ENTRY, now)]
    assert [one.name for one in facts.progress[0].lacking] == ["M 42"]
    assert facts.nights[0].observations == 1
