"""The set-up as its answers need it: numbers people use, the moment meant, and what has no place."""

from datetime import timedelta

from sqlalchemy import update

from obslog.club.live.situation import LiveMemory, no_arrivals, situation_of
from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.open_night import SetupChoice, chosen_setup
from obslog.offsets import read_offset_or_landing
from obslog.records.tables.logbook_tables import Arrival
from obslog.vocabulary.arrivals import Role

HERON = SetupChoice(mount="Heron")


def note(evening, star, now, minutes_ago):
    entry = ArrivalEntry(target=star, where=read_offset_or_landing("2E"))
    record_arrival(evening, Role.SYNC, entry, HERON, now - timedelta(minutes=minutes_ago), sure=True)


def read(evening, now, memory=None):
    with evening.read() as session:
        return situation_of(session, chosen_setup(session, HERON), now, memory or LiveMemory())


def test_arrivals_keep_their_numbers_though_one_has_no_place(evening, now):
    for minutes_ago, star in ((30, "Regulus"), (25, "Gran's favourite"), (20, "Capella")):
        note(evening, star, now, minutes_ago)
    at = read(evening, now)
    assert at.numbers.tolist() == [1, 3]
    assert [at.arrival(place).target for place in (0, 1)] == ["Regulus", "Capella"]
    assert at.arrivals is not None
    assert at.arrivals.is_sync.tolist() == [True, True]


def test_arrivals_of_two_sheets_keep_their_own_numbers_though_their_lines_are_the_same(evening, now):
    for minutes_ago, star in ((30, "Regulus"), (25, "Capella"), (20, "Procyon")):
        note(evening, star, now, minutes_ago)
    with evening.write(now) as session:
        session.execute(update(Arrival).values(sheet_line=2))
    at = read(evening, now)
    assert at.numbers.tolist() == [1, 2, 3]
    assert [at.arrival(place).target for place in range(3)] == ["Regulus", "Capella", "Procyon"]


def test_a_night_that_is_over_is_answered_for_as_it_ended(evening, now):
    begun = read(evening, now + timedelta(days=40)).now
    assert begun == now - timedelta(hours=2)
    note(evening, "Regulus", now, 30)
    assert read(evening, now + timedelta(days=40)).now == now - timedelta(minutes=30)
    assert read(evening, now).now == now


def test_a_set_up_without_arrivals_has_none(evening, now):
    at = read(evening, now)
    assert at.arrivals is None
    assert at.numbers.size == 0
    assert no_arrivals().is_sync.size == 0


def test_the_record_is_remembered_between_two_lines(evening, now):
    memory = LiveMemory()
    assert read(evening, now, memory).record is read(evening, now, memory).record
