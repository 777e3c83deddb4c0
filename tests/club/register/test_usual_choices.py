"""What is taken where nothing is named: the only one, or the last used; never what is retired, and it is said back."""

from datetime import datetime, timedelta

import pytest

from obslog.club.night.nights import end_night, start_night
from obslog.club.night.open_night import NightChoice
from obslog.club.night.setups import start_setup
from obslog.club.register.named_records import add
from obslog.club.register.usual_choices import (
    NobodyOfThatName,
    NoneNamed,
    SetupParts,
    WhoIsHere,
    member_meant,
    mount_meant,
    parts_meant,
    person_meant,
    present_meant,
    site_meant,
    who_is_here,
)
from obslog.club.storeroom.retirement import retire
from obslog.records.database import Database
from obslog.settings import Person

MILL, RIDGE = "Mill Field", "Kestrel Ridge"


def nobody() -> None:
    return None


def spend_a_night(database: Database, site: str, at: datetime, *setups: tuple[str, str, str]) -> None:
    """A night with set-ups of a mount, a tube and an eyepiece, all of which are ended."""
    start_night(database, site, at)
    for mount, tube, eyepiece in setups:
        start_setup(database, mount, at, tube=tube, eyepiece=eyepiece)
    end_night(database, NightChoice(), at)


def test_what_is_told_is_taken_as_it_is_and_not_said(club: Database, said: list[str]) -> None:
    assert site_meant(club, "anywhere", said.append) == "anywhere"
    assert mount_meant(club, "Heron", said.append) == "Heron"
    assert person_meant(club, "Ines", nobody, said.append) == "Ines"
    assert said == []


def test_the_site_is_that_of_the_open_night_else_the_last_used(
    club: Database, now: datetime, said: list[str]
) -> None:
    spend_a_night(club, RIDGE, now - timedelta(days=1))
    assert site_meant(club, None, said.append) == RIDGE
    start_night(club, MILL, now - timedelta(days=3))
    assert site_meant(club, None, said.append) == MILL
    assert said == [f"site: {RIDGE} (the last used)", f"site: {MILL} (of the open night)"]


def test_the_only_site_in_use_needs_no_night(club: Database, now: datetime, said: list[str]) -> None:
    with pytest.raises(NoneNamed) as caught:
        site_meant(club, None, said.append)
    assert caught.value.hint == f'Give --site SITE; those in use are "{RIDGE}", "{MILL}".'
    retire(club, "site", RIDGE, None, now.date(), now)
    assert site_meant(club, None, said.append) == MILL
    assert said == [f"site: {MILL} (the only one)"]


def test_without_any_site_it_is_said_how_to_add_one(database: Database, said: list[str]) -> None:
    with pytest.raises(NoneNamed) as caught:
        site_meant(database, None, said.append)
    assert "obslog site add NAME --lat DEG" in caught.value.hint


def test_of_several_mounts_none_is_guessed(club: Database, now: datetime, said: list[str]) -> None:
    with pytest.raises(NoneNamed, match="No mount is named"):
        mount_meant(club, None, said.append)
    for name in ("Bracken", "Thistle"):
        retire(club, "mount", name, None, now.date(), now)
    assert mount_meant(club, None, said.append) == "Heron"
    assert said == ["mount: Heron (the only one)"]


@pytest.fixture
def used(club: Database, now: datetime) -> Database:
    """Heron last had the short tube with Stop 20, Bracken the long one with Wide 25; two tubes are in use."""
    add(club, "tube", "Short tube", {}, now)
    spend_a_night(club, MILL, now - timedelta(days=9), ("Heron", "Long tube", "Wide 25"))
    spend_a_night(club, MILL, now - timedelta(days=5), ("Heron", "Short tube", "Stop 20"))
    spend_a_night(club, MILL, now - timedelta(days=2), ("Bracken", "Long tube", "Wide 25"))
    return club


@pytest.mark.parametrize(
    ("mount", "told", "tube", "eyepiece"),
    [
        ("heron", SetupParts(), "Short tube", "Stop 20"),
        ("bracken", SetupParts(), "Long tube", "Wide 25"),
        ("heron", SetupParts(tube="Long tube"), "Long tube", "Wide 25"),
        ("heron", SetupParts(eyepiece="Wide 25"), "Short tube", "Wide 25"),
        ("heron", SetupParts(eyepiece="none"), "Short tube", None),
        ("heron", SetupParts(tube="None"), None, None),
        ("thistle", SetupParts(), None, None),  # it had no tube yet, and there are two
    ],
)
def test_a_set_up_begins_with_what_was_used_last(
    used: Database, said: list[str], mount: str, told: SetupParts, tube: str | None, eyepiece: str | None
) -> None:
    meant = parts_meant(used, mount, told, nobody, said.append)
    assert (meant.tube, meant.eyepiece, meant.observer) == (tube, eyepiece, None)
    taken = [
        ("tube", tube if told.tube is None else None),
        ("eyepiece", eyepiece if told.eyepiece is None else None),
    ]
    assert said == [f"{what}: {name} (the last used)" for what, name in taken if name]


def test_a_retired_tube_is_not_taken(used: Database, now: datetime, said: list[str]) -> None:
    retire(used, "tube", "Short tube", None, now.date(), now)
    assert parts_meant(used, "Heron", SetupParts(), nobody, said.append).tube == "Long tube"


def test_the_observer_is_oneself_else_the_only_member(club: Database, now: datetime, said: list[str]) -> None:
    def bram() -> Person:
        return Person("ostler")

    assert parts_meant(club, "Heron", SetupParts(), bram, said.append).observer == "Bram Ostler"
    assert said[-1] == "observer: Bram Ostler (you)"
    assert parts_meant(club, "Heron", SetupParts(observer="Ines"), bram, said.append).observer == "Ines"
    assert person_meant(club, None, nobody, said.append) is None
    with pytest.raises(NoneNamed, match="No member"):
        member_meant(club, None, nobody, said.append)
    retire(club, "member", "Ines", None, now.date(), now)
    assert member_meant(club, None, nobody, said.append) == "Bram Ostler"
    assert said[-1] == "member: Bram Ostler (the only one)"


def test_whoever_opens_a_night_is_there_unless_others_are_told(club: Database, said: list[str]) -> None:
    def ines() -> Person:
        return Person("ines")

    assert present_meant(club, (), ines, said.append) == ("Ines",)
    assert said == ["present: Ines (you)"]
    assert present_meant(club, ("Bram Ostler",), ines, said.append) == ("Bram Ostler",)
    assert present_meant(club, (), nobody, said.append) == ()  # of two members nobody is guessed
    assert len(said) == 1


def test_somebody_whom_a_database_does_not_know_is_nobody_there_but_a_wrong_variable_is_refused(
    club: Database, said: list[str]
) -> None:
    assert person_meant(club, None, lambda: Person("Vera"), said.append) is None
    assert said == ["You are Vera, whom this database does not know. Say who you are: obslog member me NAME"]
    with pytest.raises(NobodyOfThatName, match="OBSLOG_ME is 'Vera'"):
        person_meant(club, None, lambda: Person("Vera", from_environment=True), said.append)
    assert person_meant(club, "Ines", lambda: Person("Vera", from_environment=True), said.append) == "Ines"


def test_who_is_here(club: Database) -> None:
    assert who_is_here(club, nobody) == WhoIsHere(None, False, False)
    assert who_is_here(club, lambda: Person("ostl", True)) == WhoIsHere("Bram Ostler", True, True)
    assert who_is_here(club, lambda: Person("Vera")) == WhoIsHere("Vera", False, False)
