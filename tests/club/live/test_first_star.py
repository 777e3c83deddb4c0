"""The first star far off: what is asked before it is recorded, and what is said after."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from obslog.club.live.answers import LiveKind
from obslog.club.live.answers_now import answers_now
from obslog.club.live.first_star import FirstStarFarOff, first_star_question
from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.open_night import SetupChoice, chosen_setup
from obslog.club.night.plausibility import Doubtful
from obslog.grammar.target_names import target_named
from obslog.offsets import read_offset_or_landing
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mistakes import Cause

AT = datetime(2026, 3, 2, 21, 30, tzinfo=UTC)
HERON = SetupChoice(mount="Heron")
# Regulus stands at declination 12 degrees: the hour, 15 degrees of hour angle, is 15 x cos(12) = 14.7 of the sky
AN_HOUR_EAST = (15.04 * 60 * float(np.cos(np.radians(11.97))), 0.0)


def asked(evening, offset, star="Regulus"):
    with evening.read() as session:
        return first_star_question(session, chosen_setup(session, HERON), target_named(star), AT, offset)


def test_an_hour_of_summer_time_is_asked_about_before_the_sync_is_taken(evening):
    question = asked(evening, AN_HOUR_EAST)
    assert isinstance(question, Doubtful)
    assert isinstance(question, FirstStarFarOff)
    assert question.cause.cause is Cause.SUMMER_TIME
    assert question.message.startswith("Regulus stood 15° off. Most likely (")
    assert "summer time" in question.message
    assert question.hint.endswith("To record it as it is, add --sure.")


@pytest.mark.parametrize("offset", [None, (0.0, 0.0), (120.0, -120.0)])
def test_a_star_within_three_degrees_or_not_measured_is_not_asked_about(evening, offset):
    assert asked(evening, offset) is None


def test_after_a_sync_nothing_is_asked_and_a_check_before_it_changes_nothing(evening):
    where = read_offset_or_landing("800E 2N")
    record_arrival(evening, Role.CHECK, ArrivalEntry(target="Procyon", where=where), HERON, AT, sure=True)
    assert asked(evening, AN_HOUR_EAST) is not None
    entry = ArrivalEntry(target="Regulus", where=read_offset_or_landing("3E 2N"))
    record_arrival(evening, Role.SYNC, entry, HERON, AT, sure=True)
    assert asked(evening, AN_HOUR_EAST) is None


def test_a_name_without_a_place_or_a_star_below_the_horizon_is_not_explained(evening):
    assert asked(evening, AN_HOUR_EAST, star="Gran's favourite") is None
    assert asked(evening, AN_HOUR_EAST, star="Achernar") is None


def test_after_it_was_recorded_the_mistake_is_told_with_its_remedy(evening):
    where = read_offset_or_landing(f"{AN_HOUR_EAST[0]:.0f}E")
    record_arrival(evening, Role.SYNC, ArrivalEntry(target="Regulus", where=where), HERON, AT, sure=True)
    (told,) = [
        answer
        for answer in answers_now(evening, HERON, AT + timedelta(minutes=1))
        if answer.kind is LiveKind.FIRST_STAR
    ]
    assert "summer time" in told.words
    assert told.words.endswith("Then align anew: a sync does not mend it.")
    assert told.probability is not None
    assert told.probability > 0.5
