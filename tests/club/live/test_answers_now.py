"""All answers of a set-up together, on the records of an evening."""

from datetime import UTC, datetime, timedelta

import pytest

from obslog.club.live.answers import LiveKind, what_is_new
from obslog.club.live.answers_now import answers_now, answers_of_open_setup
from obslog.club.live.situation import LiveMemory
from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.nights import start_night
from obslog.club.night.open_night import NoOpenSetup, SetupChoice
from obslog.club.night.setups import start_setup
from obslog.club.register import named_records
from obslog.offsets import read_offset_or_landing
from obslog.vocabulary.arrivals import Role

HERON = SetupChoice(mount="Heron")
BEGUN = datetime(2026, 3, 2, 20, tzinfo=UTC)


def note(database, role, star, where, minutes, choice=HERON):
    entry = ArrivalEntry(target=star, where=read_offset_or_landing(where))
    record_arrival(database, role, entry, choice, BEGUN + timedelta(minutes=minutes), sure=True)


def kinds(answers):
    return [answer.kind for answer in answers]


def test_before_the_first_star_the_best_one_to_sync_on_is_named(evening):
    (first,) = answers_now(evening, HERON, BEGUN)
    assert first.kind is LiveKind.NEXT_STAR
    assert first.words.startswith("sync first on ")
    assert "° up in the " in first.words


def test_after_the_first_sync_the_landing_and_the_eyepiece_are_told(evening):
    note(evening, Role.SYNC, "Regulus", "3E 2N", 5)
    told = answers_now(evening, HERON, BEGUN + timedelta(minutes=6))
    (landing,) = [answer for answer in told if answer.kind is LiveKind.LANDING]
    # a mount without a record, its axis as likely as not 60' off: no field of 80' is sure to hold a go-to
    assert landing.size_arcmin is not None
    assert landing.size_arcmin > 40
    assert "the widest eyepiece, Wide 25, holds" in landing.words


def test_quiet_silences_all_by_night(evening):
    assert answers_now(evening, HERON, BEGUN, quiet=True) == []


def test_with_a_memory_the_same_line_is_not_said_twice(evening):
    memory = LiveMemory()
    note(evening, Role.SYNC, "Regulus", "3E 2N", 5)
    first = answers_now(evening, HERON, BEGUN + timedelta(minutes=6), memory=memory)
    again = answers_now(evening, HERON, BEGUN + timedelta(minutes=7), memory=memory)
    assert first
    assert what_is_new(first, again) == []


def test_the_axis_of_a_fork_that_missed_everything_alike_is_not_accused(evening):
    note(evening, Role.SYNC, "Regulus", "3E 2N", 5)
    for minutes, star in ((9, "Procyon"), (13, "Capella"), (17, "Dubhe"), (21, "Alphard")):
        note(evening, Role.CHECK, star, "0E 0N", minutes)
    told = answers_now(evening, HERON, BEGUN + timedelta(minutes=22))
    assert not set(kinds(told)) & {LiveKind.AXIS, LiveKind.MISFIT, LiveKind.MECHANICS}


def test_names_that_nobody_knows_and_words_for_a_landing_do_no_harm(evening):
    note(evening, Role.SYNC, "Regulus", "3E 2N", 5)
    note(evening, Role.CHECK, "Gran's favourite", "12E 5N", 9)
    note(evening, Role.GOTO, "M 81", "edge", 13)
    assert LiveKind.LANDING in kinds(answers_now(evening, HERON, BEGUN + timedelta(minutes=14)))


def test_without_a_place_or_the_kind_of_mount_nothing_is_computed(club):
    named_records.add(club, "site", "Anywhere", {"zone": "Europe/London"}, BEGUN)
    named_records.add(club, "mount", "Foundling", {}, BEGUN)
    start_night(club, "Anywhere", BEGUN)
    start_setup(club, "Foundling", BEGUN, tube="Long tube")
    choice = SetupChoice(mount="Foundling")
    note(club, Role.SYNC, "Regulus", "3E 2N", 5, choice)
    assert answers_now(club, choice, BEGUN + timedelta(minutes=6)) == []


def test_without_an_open_set_up_it_says_so(club):
    with pytest.raises(NoOpenSetup):
        answers_now(club, SetupChoice(), BEGUN)


def test_when_all_is_over_it_says_where_the_past_is_told(club):
    with pytest.raises(NoOpenSetup) as refused:
        answers_of_open_setup(club, "Heron", datetime(2026, 3, 3, 9, 0, tzinfo=UTC))
    assert "obslog pointing fit MOUNT" in refused.value.hint
