"""What is said of its own accord: a first star far off before it is recorded, the rest once, and nothing when quiet."""

from datetime import timedelta

import pytest

from obslog.club.evening.said_at_once import SaidAtOnce
from obslog.club.night.plausibility import Doubtful
from obslog.records.database import Database
from obslog.vocabulary.cautions import Danger
from tests.club.evening.typing import NOW, Typing


@pytest.fixture
def typing(club: Database) -> Typing:
    return Typing(club).begun()


def test_a_first_star_that_missed_by_an_hour_is_asked_about_before_it_is_recorded(typing: Typing) -> None:
    """An hour of summer time is 15.04 degrees of hour angle, on the sky 14.7 at the declination of Regulus (12)."""
    with pytest.raises(Doubtful) as caught:
        typing("20:50 sy regulus 14.7d W")
    assert "summer time" in caught.value.message
    assert typing.arrivals() == []
    typing("20:50 sy regulus 14.7d W !")
    assert [row[:3] for row in typing.arrivals()] == [("sync", "Regulus", -882.0)]


def test_a_yes_answers_all_that_was_doubtful_and_so_all_is_told(typing: Typing) -> None:
    """Regulus culminates in London at 23:30 in early March: at 18:00 it is 5.5 h east, the tube then on the west."""
    with pytest.raises(Doubtful) as caught:
        typing("18:00 sy regulus 14.7d W pe")
    assert "Most likely" in caught.value.message
    before, side = caught.value.details
    assert before == "Besides: The set-up began at 20:10, after 18:00."
    assert "the tube is then on the west side of the pier, not on the east" in side
    assert typing.arrivals() == []


def test_what_was_said_is_not_said_again(typing: Typing) -> None:
    said = SaidAtOnce()
    first = said.after(typing.database, typing("20:50 sy regulus 3E 2N"), NOW)
    assert first, "at least which star is next"
    assert said.after(typing.database, typing("sa m81"), NOW) == []
    assert said.after(typing.database, typing("note fog"), NOW) == [], "a note tells nothing about the mount"


def test_quiet_says_cautions_only(typing: Typing) -> None:
    typing("quiet on")
    assert SaidAtOnce().after(typing.database, typing("20:50 sy regulus 3E 2N"), NOW) == []


def test_the_caution_that_stands_above_the_arrival_is_not_said_below_it_too(club: Database) -> None:
    """By day: the arrival's own answer has the caution; after what has none, it is said."""
    noon = NOW.replace(hour=13)
    typing = Typing(club, noon)
    typing("night start mill")
    typing("setup start heron")
    answer = typing("ch deneb 2E 1N")
    assert answer.value.caution == Danger.DAYTIME
    said = SaidAtOnce().after(club, answer, noon)
    assert [one.words for one in said if one.is_caution] == []
    told = SaidAtOnce().after(club, typing("pier west"), noon)
    assert [one.words for one in told if one.is_caution] == [Danger.DAYTIME]


def test_without_a_setup_nothing_is_said(club: Database) -> None:
    typing = Typing(club)
    typing("night start mill")
    assert SaidAtOnce().after(club, typing("sa m81"), NOW) == []


def test_of_a_night_that_is_typed_in_later_nothing_is_said(typing: Typing) -> None:
    answer = typing("20:50 sy regulus 3E 2N")
    assert SaidAtOnce().after(typing.database, answer, NOW + timedelta(days=2)) == []


def test_a_fault_in_it_disturbs_nobody(typing: Typing, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("obslog.club.live.answers_now.answers_now", broken)
    monkeypatch.delenv("OBSLOG_DEBUG", raising=False)
    assert SaidAtOnce().after(typing.database, typing("20:50 sy regulus 3E 2N"), NOW) == []
