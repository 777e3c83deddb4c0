"""Set-ups: one mount and tube aligned once."""

from datetime import date, datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.nights import end_night, start_night
from obslog.club.night.open_night import (
    NightChoice,
    NoOpenNight,
    NoOpenSetup,
    NoSuchNight,
    SetupChoice,
    WhichOne,
)
from obslog.club.night.setups import BeginsBefore, Retired, show_setup, start_setup
from obslog.club.storeroom import retirement
from obslog.errors import UnknownName
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Setup
from obslog.times import FutureTime
from obslog.vocabulary.arrivals import Role


def test_a_setup_holds_what_was_said(evening: Database) -> None:
    page = show_setup(evening, SetupChoice())
    assert (page.night, page.site, page.mount, page.setup) == (date(2026, 3, 2), "Mill Field", "Heron", 1)
    assert (page.tube, page.observer, page.eyepiece) == ("Long tube", "Ines", "Wide 25")
    assert (page.open, page.started, page.arrivals, page.note) == (True, "19:40", [], None)


def test_a_setup_needs_an_open_night(club: Database, now: datetime) -> None:
    with pytest.raises(NoOpenNight) as caught:
        start_setup(club, "Heron", now)
    assert "obslog night start" in caught.value.hint


@pytest.mark.parametrize(
    "wrong",
    [{"tube": "Lomg tube"}, {"observer": "Inez"}, {"eyepiece": "Wide 26"}, {"site": "Mill Feld"}],
)
def test_an_unknown_name_begins_no_setup(evening: Database, now: datetime, wrong: dict[str, str]) -> None:
    with pytest.raises(UnknownName):
        start_setup(evening, "Bracken", now, **wrong)  # type: ignore[arg-type]
    with pytest.raises(UnknownName):
        start_setup(evening, "Braken", now)
    assert show_setup(evening, SetupChoice()).mount == "Heron"


def test_a_retired_mount_is_not_set_up(evening: Database, now: datetime) -> None:
    retirement.retire(evening, "mount", "Bracken", "worn out", now.date(), now)
    with pytest.raises(Retired, match="Bracken was retired on 2026-03-02"):
        start_setup(evening, "Bracken", now)


def test_a_second_setup_of_a_mount_ends_the_first_and_is_counted(evening: Database, now: datetime) -> None:
    assert start_setup(evening, "Heron", now, tube="Long tube").setup == 2
    assert start_setup(evening, "Bracken", now).setup == 1
    assert not show_setup(evening, SetupChoice(mount="Heron", night=date(2026, 3, 2), ordinal=1)).open
    assert show_setup(evening, SetupChoice(mount="Heron")).setup == 2


def test_a_setup_on_another_night_begins_counting_anew(evening: Database, now: datetime) -> None:
    start_night(evening, "Mill Field", now + timedelta(days=1))
    assert start_setup(evening, "Heron", now + timedelta(days=1)).setup == 1


def test_a_setup_does_not_begin_in_the_future(evening: Database, now: datetime) -> None:
    with pytest.raises(FutureTime):
        start_setup(evening, "Bracken", now, at="22:00")


def test_of_several_open_setups_one_must_be_named(evening: Database, now: datetime) -> None:
    start_setup(evening, "Bracken", now)
    with pytest.raises(WhichOne, match=r"Heron \(2026-03-02 at Mill Field, 1\)") as caught:
        show_setup(evening, SetupChoice())
    assert "--mount MOUNT" in caught.value.hint
    assert show_setup(evening, SetupChoice(mount="bracken")).mount == "Bracken"


def test_the_newest_setup_is_shown_where_none_is_open(evening: Database, now: datetime) -> None:
    end_night(evening, NightChoice(), now)
    page = show_setup(evening, SetupChoice())
    assert (page.mount, page.open) == ("Heron", False)


def test_nothing_is_recorded_where_no_setup_is_open(evening: Database, now: datetime) -> None:
    end_night(evening, NightChoice(), now)
    with pytest.raises(NoOpenSetup) as caught:
        record_arrival(evening, Role.SYNC, ArrivalEntry(target="Vega"), SetupChoice(), now)
    assert "obslog setup start" in caught.value.hint


@pytest.mark.parametrize(
    "choice",
    [
        SetupChoice(mount="Bracken"),
        SetupChoice(ordinal=2),
        SetupChoice(night=date(2026, 3, 1)),
        SetupChoice(site="Kestrel Ridge"),
    ],
)
def test_a_setup_that_is_not_on_record_is_refused(evening: Database, choice: SetupChoice) -> None:
    with pytest.raises(NoSuchNight):
        show_setup(evening, choice)


def test_an_unknown_mount_is_named_as_such(evening: Database) -> None:
    with pytest.raises(UnknownName, match="Herron"):
        show_setup(evening, SetupChoice(mount="Herron"))


def test_a_set_up_that_begins_before_the_one_before_it_is_questioned(
    evening: Database, now: datetime
) -> None:
    with pytest.raises(BeginsBefore, match="the one before it began at 19:40"):
        start_setup(evening, "Heron", now, at="19:20")
    record_arrival(evening, Role.SYNC, ArrivalEntry(target="Regulus", at="21:10"), SetupChoice(), now)
    with pytest.raises(BeginsBefore, match="the one before it has an entry of 21:10") as caught:
        start_setup(evening, "Heron", now, at="21:00")
    assert "--sure" in caught.value.hint
    assert start_setup(evening, "Bracken", now, at="19:20").setup == 1  # another mount has its own order
    assert start_setup(evening, "Heron", now, at="19:20", sure=True).setup == 2
    with evening.read() as session:
        first = session.scalars(select(Setup).where(Setup.ordinal == 1).order_by(Setup.id)).first()
        assert first is not None
        assert (first.open, first.ended_utc) == (False, None)  # not before it began
