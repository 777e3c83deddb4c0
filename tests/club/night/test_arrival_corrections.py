"""Arrivals put right or removed afterwards."""

from datetime import datetime, timedelta

import pytest
from numpy.testing import assert_allclose

from obslog.club.night.arrival_corrections import NoSuchArrival, edit_arrival, remove_arrival
from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import AlreadyRecorded
from obslog.club.night.setups import ArrivalLine, start_setup
from obslog.club.register import named_records
from obslog.club.register.undo import undo
from obslog.errors import NothingToChange
from obslog.offsets import read_offset_or_landing as stood
from obslog.records.database import Database
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import PierSide
from tests.club.night.typed_arrivals import OPEN, arrivals, record
from tests.known import known


def test_an_arrival_is_removed_and_comes_back_by_undo(evening: Database, now: datetime) -> None:
    record(evening, now, "Capella")
    record(evening, now + timedelta(minutes=1), "Vega", where="3E")
    gone = remove_arrival(evening, 1, OPEN, now)
    assert (gone.mount, gone.removed.target) == ("Heron", "Capella")
    assert [(left.number, left.target) for left in arrivals(evening)] == [(1, "Vega")]
    undo(evening, now)
    assert [left.target for left in arrivals(evening)] == ["Capella", "Vega"]
    with pytest.raises(NoSuchArrival):
        remove_arrival(evening, 3, OPEN, now)


def test_the_last_typed_arrival_is_edited_where_no_number_is_given(evening: Database, now: datetime) -> None:
    record(evening, now)
    record(evening, now, "Capella", at="20:15")
    edited = edit_arrival(evening, None, ArrivalEntry(where=stood("1W 1S")), OPEN, now).arrival
    assert (edited.number, edited.target, edited.offset) == (1, "Capella", "1.0W 1.0S")


def test_only_what_is_said_changes(evening: Database, now: datetime) -> None:
    before = record(
        evening, now, where="3E 2N", field_arcmin=40.0, pier_side=PierSide.EAST, note="wind"
    ).arrival
    after = edit_arrival(evening, 1, ArrivalEntry(note="gusts"), OPEN, now).arrival
    assert (before.note, after.note) == ("wind", "gusts")
    for column in set(ArrivalLine.__slots__) - {"note"}:
        assert getattr(after, column) == getattr(before, column), column


def test_an_edit_reaches_time_role_target_and_side(evening: Database, now: datetime) -> None:
    record(evening, now, "Vegga", where="lost")
    said = ArrivalEntry(
        target="vega",
        where=stood("2N"),
        at="21:30",
        role=Role.CHECK,
        pier_side=PierSide.WEST,
        eyepiece="Stop 20",
    )
    line = edit_arrival(evening, 1, said, OPEN, now).arrival
    assert (line.target, line.at, line.role, line.pier_side) == ("Vega", "21:30", "check", "west")
    assert (line.landing, line.offset) == (None, "0.0E 2.0N")
    assert_allclose(known(line.field_arcmin), 68.75, rtol=1e-3)


def test_an_edit_cannot_make_two_arrivals_the_same(evening: Database, now: datetime) -> None:
    record(evening, now)
    record(evening, now, "Capella")
    before = arrivals(evening)
    with pytest.raises(AlreadyRecorded):
        edit_arrival(evening, None, ArrivalEntry(target="Vega"), OPEN, now)
    assert arrivals(evening) == before


def test_an_edit_of_nothing_or_of_no_arrival_is_refused(evening: Database, now: datetime) -> None:
    with pytest.raises(NoSuchArrival, match="no arrivals yet"):
        edit_arrival(evening, None, ArrivalEntry(where=stood("1W")), OPEN, now)
    record(evening, now)
    with pytest.raises(NothingToChange):
        edit_arrival(evening, 1, ArrivalEntry(), OPEN, now)
    for number in (0, 2, -1):
        with pytest.raises(NoSuchArrival, match="numbered 1 to 1"):
            edit_arrival(evening, number, ArrivalEntry(where=stood("1W")), OPEN, now)


def test_the_field_is_unknown_where_the_tube_is(evening: Database, now: datetime) -> None:
    named_records.add(evening, "tube", "Nameless", {}, now)
    start_setup(evening, "Heron", now - timedelta(minutes=1), tube="Nameless", eyepiece="Wide 25")
    assert record(evening, now).arrival.field_arcmin is None
