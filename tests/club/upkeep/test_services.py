"""Services: work done on a thing."""

from datetime import date, datetime, timedelta

import pytest

from obslog.club.upkeep.services import add_service, list_services
from obslog.errors import UnknownName
from obslog.fields import UnusableText
from obslog.records.database import Database
from obslog.times import FutureDate


def test_a_service_is_kept_as_it_was_told(club: Database, now: datetime) -> None:
    line = add_service(
        club, "mount", "heron", " worm greased ", now, on=date(2026, 2, 1), mechanical=True, by="ines"
    )
    assert (line.kind, line.name, line.done_on) == ("mount", "Heron", date(2026, 2, 1))
    assert (line.text, line.mechanical, line.by) == ("worm greased", True, "Ines")
    assert list_services(club) == [line]


@pytest.mark.parametrize(
    ("kind", "name"),
    [("tube", "Long tube"), ("eyepiece", "Wide 25"), ("item", "Lead battery"), ("mount", "Thistle")],
)
def test_anything_the_club_owns_can_be_serviced(club: Database, now: datetime, kind: str, name: str) -> None:
    add_service(club, kind, name, "cleaned", now, on=now.date())
    assert [(line.kind, line.name) for line in list_services(club, name=name, kind=kind)] == [(kind, name)]


def test_services_are_listed_newest_first(club: Database, now: datetime) -> None:
    for day, name in ((1, "Heron"), (20, "Bracken"), (10, "Heron")):
        add_service(club, "mount", name, f"day {day}", now, on=date(2026, 2, day))
    assert [line.text for line in list_services(club)] == ["day 20", "day 10", "day 1"]
    assert [line.text for line in list_services(club, name="heron")] == ["day 10", "day 1"]


def test_a_service_in_the_future_is_refused(club: Database, now: datetime) -> None:
    with pytest.raises(FutureDate):
        add_service(club, "mount", "Heron", "greased", now, on=now.date() + timedelta(days=2))
    assert list_services(club) == []


@pytest.mark.parametrize("text", ["", "  ", "x" * 4001])
def test_an_empty_or_long_text_is_refused(club: Database, now: datetime, text: str) -> None:
    with pytest.raises(UnusableText, match="The service"):
        add_service(club, "mount", "Heron", text, now, on=now.date())


def test_an_unknown_thing_or_person_is_refused(club: Database, now: datetime) -> None:
    with pytest.raises(UnknownName):
        add_service(club, "mount", "Herron", "greased", now, on=now.date())
    with pytest.raises(UnknownName):
        add_service(club, "mount", "Heron", "greased", now, on=now.date(), by="Nobody")
    assert list_services(club) == []
