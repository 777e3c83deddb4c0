"""A set-up is put right after it was begun wrongly, and ended before its night is."""

from datetime import datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.nights import EndsBeforeSetup, EndsTooEarly
from obslog.club.night.observation_lines import list_observations
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.open_night import NightChoice, NoOpenSetup, SetupChoice
from obslog.club.night.setup_corrections import (
    BeginsTooEarly,
    BeginsTooLate,
    SetupEntry,
    edit_setup,
    end_setup,
)
from obslog.club.night.setups import SetupPage, show_setup, start_setup
from obslog.club.night.snags import add_snag, list_snags
from obslog.club.register.undo import undo
from obslog.errors import NothingToChange, UnknownName
from obslog.grammar.typed_times import OutsideNight
from obslog.offsets import read_offset_or_landing
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Arrival, Member, Setup
from obslog.times import FutureTime
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.steps import Step

OPEN = SetupChoice()


def arrive(database: Database, now: datetime, target: str = "Vega", **said: object) -> None:
    entry = ArrivalEntry(target=target, **said)  # type: ignore[arg-type]
    record_arrival(database, Role.CHECK, entry, OPEN, now, sure=True)


def corrected(database: Database, now: datetime, **said: str) -> SetupPage:
    return edit_setup(database, SetupEntry(**said), OPEN, now).setup


def test_a_beginning_is_corrected_and_undone(evening: Database, now: datetime) -> None:
    assert corrected(evening, now, start="20:10").started == "20:10"
    undo(evening, now)
    assert show_setup(evening, OPEN).started == "19:40"


def test_a_beginning_is_not_after_the_first_entry(evening: Database, now: datetime) -> None:
    arrive(evening, now, at="20:15")
    with pytest.raises(BeginsTooLate, match=r"cannot begin at 20:16: its first entry is of 20:15"):
        corrected(evening, now, start="20:16")
    assert corrected(evening, now, start="20:15").started == "20:15"
    record_observations(evening, "M 44", ObservationEntry(at="20:05"), now)
    with pytest.raises(BeginsTooLate, match="20:05"):
        corrected(evening, now, start="20:10")


@pytest.mark.parametrize(("start", "error"), [("2026-03-01T20:00:00Z", OutsideNight), ("23:30", FutureTime)])
def test_a_beginning_is_in_its_night_and_not_in_the_future(
    evening: Database, now: datetime, start: str, error: type[Exception]
) -> None:
    with pytest.raises(error):
        corrected(evening, now, start=start)
    assert show_setup(evening, OPEN).started == "19:40"


def test_a_beginning_moves_the_end_of_the_set_up_that_it_ended(evening: Database, now: datetime) -> None:
    arrive(evening, now, at="20:30")
    start_setup(evening, "Heron", now, at="21:30", tube="Long tube")
    with pytest.raises(BeginsTooEarly, match=r"the one before it has an entry of 20:30"):
        corrected(evening, now, start="20:20")
    corrected(evening, now, start="20:45")
    with evening.read() as session:
        first, second = session.scalars(select(Setup).order_by(Setup.ordinal))
        assert first.ended_utc == second.started_utc == now - timedelta(minutes=55)


def test_the_observer_is_also_that_of_the_entries_that_had_the_old_one(
    evening: Database, now: datetime
) -> None:
    arrive(evening, now, "Vega")
    arrive(evening, now, "Capella", observer="Bram Ostler")
    record_observations(evening, "M 44", ObservationEntry(), now)
    add_snag(evening, Step.LEVEL, "a leg sank", now)
    changed = edit_setup(evening, SetupEntry(observer="bram ostler"), OPEN, now)
    assert changed.setup.observer == "Bram Ostler"
    assert changed.remarks == ["3 entries of the set-up are now by Bram Ostler too."]
    query = select(Member.name).join(Arrival, Arrival.member_id == Member.id)
    with evening.read() as session:
        assert set(session.scalars(query)) == {"Bram Ostler"}
    assert [o.observer for o in list_observations(evening, NightChoice())] == ["Bram Ostler"]
    assert [snag.member for snag in list_snags(evening)] == ["Bram Ostler"]
    undo(evening, now)
    assert [o.observer for o in list_observations(evening, NightChoice())] == ["Ines"]
    assert [snag.member for snag in list_snags(evening)] == ["Ines"]


def test_fields_and_magnifications_follow_the_eyepiece_but_not_what_was_said(
    evening: Database, now: datetime
) -> None:
    """By hand: 1000 mm with 25 mm of 52 degrees is 78'; a stop of 20 mm at 1000 mm is 68.75', and 20 mm gives 50x."""
    arrive(evening, now, "Vega")
    arrive(evening, now, "Capella", field_arcmin=40.0)
    record_observations(evening, "M 44", ObservationEntry(), now)
    record_observations(evening, "M 81", ObservationEntry(magnification=80.0), now)
    changed = edit_setup(evening, SetupEntry(eyepiece="Stop 20"), OPEN, now)
    assert [round(a.field_arcmin or 0, 1) for a in changed.setup.arrivals] == [68.8, 40.0]
    assert changed.remarks[0].startswith("The true field of 1 arrival is now 68.75'.")
    seen = {o.target: (o.eyepiece, o.magnification) for o in list_observations(evening, NightChoice())}
    assert seen == {"M 44": ("Stop 20", 50.0), "M 81": ("Stop 20", 80.0)}
    undo(evening, now)
    assert [a.field_arcmin for a in show_setup(evening, OPEN).arrivals] == [79.5, 40.0]


def test_an_offset_stays_as_it_was_worked_out(evening: Database, now: datetime) -> None:
    arrive(evening, now, where=read_offset_or_landing("0.5f E"))
    assert corrected(evening, now, eyepiece="Stop 20").arrivals[0].offset_east_arcmin == 39.75


def test_a_note_is_changed_and_taken_away(evening: Database, now: datetime) -> None:
    assert corrected(evening, now, note="on grass").note == "on grass"
    assert corrected(evening, now, note="").note is None


def test_nothing_or_an_unknown_name_changes_nothing(evening: Database, now: datetime) -> None:
    before = show_setup(evening, OPEN)
    with pytest.raises(NothingToChange):
        corrected(evening, now)
    for said in ({"tube": "Lomg tube"}, {"eyepiece": "Wide 26"}, {"observer": "Inez"}):
        with pytest.raises(UnknownName):
            corrected(evening, now, note="lost", **said)
    assert show_setup(evening, OPEN) == before


def test_a_set_up_is_ended_while_its_night_goes_on_and_the_end_is_undone(
    evening: Database, now: datetime
) -> None:
    assert not end_setup(evening, OPEN, now).open
    with pytest.raises(NoOpenSetup):
        end_setup(evening, OPEN, now)
    assert start_setup(evening, "Heron", now).setup == 2
    undo(evening, now)
    undo(evening, now)
    assert show_setup(evening, OPEN).open


def test_a_set_up_does_not_end_before_its_last_entry(evening: Database, now: datetime) -> None:
    arrive(evening, now, at="21:00")
    with pytest.raises(EndsTooEarly, match=r"The set-up cannot end at 20:30: its last entry is of 21:00"):
        end_setup(evening, OPEN, now, at="20:30")
    assert not end_setup(evening, OPEN, now, at="21:00").open


def test_a_set_up_does_not_end_before_it_began(evening: Database, now: datetime) -> None:
    with pytest.raises(EndsBeforeSetup, match=r"cannot be at 19:30: the set-up of Heron began at 19:40"):
        end_setup(evening, OPEN, now, at="19:30")
    assert not end_setup(evening, OPEN, now, at="19:40").open


def test_a_beginning_before_that_of_the_set_up_before_is_refused(evening: Database, now: datetime) -> None:
    start_setup(evening, "Heron", now, at="21:00")
    with pytest.raises(BeginsTooEarly, match=r"the one before it began at 19:40"):
        corrected(evening, now, start="19:20")
    assert corrected(evening, now, start="19:41").started == "19:41"
