"""Ticks: they belong to the open set-up, show tonight, can be undone, and are refused where they make no sense."""

from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.checklist.checklist import checklist
from obslog.club.checklist.step_ticks import NoSuchStep, tick_step
from obslog.club.register.observing_site import instant_at_site
from obslog.club.register.undo import undo
from obslog.errors import UnknownName, WrongInput
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Setup, Tick
from obslog.vocabulary.steps import Step


def test_a_tick_belongs_to_the_open_setup_and_its_member(evening: Database, now: datetime) -> None:
    line = tick_step(evening, Step.POWER, "heron", "mill field", now, now, value=" 12.6 12.1 ")
    assert (line.mount, line.site, line.member, line.value) == (
        "Heron",
        "Mill Field",
        "Ines",
        "12.6 12.1",
    )
    with evening.read() as session:
        tick = session.scalars(select(Tick)).one()
        assert tick.setup_id == session.scalars(select(Setup.id)).one()
        assert tick.went_well is True


def test_without_a_setup_it_belongs_to_mount_and_site(club: Database, now: datetime) -> None:
    tick_step(club, Step.LEVEL, "Bracken", "Mill Field", now, now, went_well=False)
    with club.read() as session:
        tick = session.scalars(select(Tick)).one()
        assert (tick.setup_id, tick.member_id, tick.went_well) == (None, None, False)
        assert None not in (tick.mount_id, tick.site_id)


def test_tonights_ticks_stand_at_their_step_and_tomorrow_they_do_not(club: Database, now: datetime) -> None:
    tick_step(club, Step.HOME, "Heron", "Mill Field", now, now, went_well=False)
    tick_step(club, Step.HOME, "Heron", "Mill Field", now, now)
    steps = checklist(club, "Heron", "Mill Field", now).steps
    assert {s.step: s.tick.went_well for s in steps if s.tick} == {Step.HOME: True}
    tomorrow = checklist(club, "Heron", "Mill Field", now + timedelta(days=1)).steps
    assert [s.step for s in tomorrow if s.tick] == []


def test_a_tick_can_be_undone(club: Database, now: datetime) -> None:
    tick_step(club, Step.HOME, "Heron", "Mill Field", now, now)
    assert undo(club, now) == "tick home of Heron"
    with club.read() as session:
        assert session.scalars(select(Tick)).all() == []


def test_the_volts_of_earlier_nights_are_what_to_expect(club: Database, now: datetime) -> None:
    # 12.4 and 12.8: mean 12.6, sd 0.4 / sqrt 2 = 0.28; slewing once.
    for days, value in ((9, "12.4 V"), (4, "12.8 at rest, 12,1 slewing")):
        at_utc = now - timedelta(days=days)
        tick_step(club, Step.POWER, "Heron", "Mill Field", at_utc, now, value=value)
    (power,) = [s for s in checklist(club, "Heron", "Mill Field", now).steps if s.step is Step.POWER]
    assert power.values == ["volts as ticked before: 12.6 ± 0.3 V (2 times) at rest; 12.1 V (once) slewing"]
    (other,) = [s for s in checklist(club, "Bracken", "Mill Field", now).steps if s.step is Step.POWER]
    assert other.values == []


def test_what_makes_no_sense_is_refused(club: Database, now: datetime) -> None:
    with pytest.raises(NoSuchStep, match="Thistle has no step polar-axis"):
        tick_step(club, Step.POLAR_AXIS, "Thistle", "Mill Field", now, now)
    with pytest.raises(UnknownName):
        tick_step(club, Step.HOME, "Nobody's", "Mill Field", now, now)
    with pytest.raises(WrongInput):
        tick_step(club, Step.HOME, "Heron", "Mill Field", now + timedelta(hours=1), now)
    with pytest.raises(WrongInput):
        tick_step(club, Step.HOME, "Heron", "Mill Field", now, now, value="  ")


def test_a_time_is_one_of_the_night_that_now_is_in(club: Database, now: datetime) -> None:
    assert instant_at_site(club, "Mill Field", None, now) == now
    assert instant_at_site(club, "Mill Field", "20:10", now) == now.replace(hour=20, minute=10)
    for text in ("2026-03-01T20:10Z", "2026-03-01 20:10Z"):
        assert instant_at_site(club, "Mill Field", text, now) == datetime(2026, 3, 1, 20, 10, tzinfo=UTC)
