"""What was said of an arrival is kept in the units of the record, and what cannot be meant is refused."""

import math
from datetime import datetime, timedelta
from typing import Any

import pytest
from numpy.testing import assert_allclose
from sqlalchemy import select

from obslog.club.night.arrival_entries import ArrivalEntry, KeysMoveOtherwise
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.open_night import SetupChoice
from obslog.club.night.setups import start_setup
from obslog.errors import OutOfRange, UnknownName, WrongInput
from obslog.offsets import OffsetNeedsDeclination, OffsetNeedsField, UnreadableOffset
from obslog.offsets import read_offset_or_landing as stood
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Arrival, Member
from obslog.vocabulary.arrivals import Landing, Role
from tests.club.night.typed_arrivals import arrivals, record
from tests.known import known

# 1000 mm and a 25 mm eyepiece of 53 degrees: 40 times, 1.325 degrees, 79.5 arcminutes.
FIELD_ARCMIN = 79.5


# The offsets of tests/test_offsets.py, here with the field of the eyepiece and the declination of the star:
# Vega's is +38.7837 degrees (Hipparcos catalogue, HIP 91262), whose cosine is 0.77955.
@pytest.mark.parametrize(
    ("where", "east", "north"),
    [
        ("3E 2N", 3.0, 2.0),
        ('30" W', -0.5, 0.0),
        ("1d S", 0.0, -60.0),
        ("0.5f W", -0.5 * FIELD_ARCMIN, 0.0),
        ("4s E @16x", 16.0438 * 0.77955, 0.0),
        ("4s S @16x", 0.0, -16.0438),
    ],
)
def test_an_offset_is_kept_in_arcminutes_on_the_sky(
    evening: Database, now: datetime, where: str, east: float, north: float
) -> None:
    line = record(evening, now, where=where).arrival
    told = (known(line.offset_east_arcmin), known(line.offset_north_arcmin))
    assert_allclose(told, (east, north), atol=1e-3)


def test_the_field_may_be_given_or_come_from_another_eyepiece(evening: Database, now: datetime) -> None:
    given = record(evening, now, where="0.5f E", field_arcmin=40.0).arrival
    assert (given.field_arcmin, given.offset_east_arcmin) == (40.0, 20.0)
    # A field stop of 20 mm at 1000 mm: 20/1000 radians, 68.75 arcminutes.
    other = record(evening, now, "Capella", where="0.5f E", eyepiece="stop 20").arrival
    told = (known(other.field_arcmin), known(other.offset_east_arcmin))
    assert_allclose(told, (68.75, 34.375), rtol=1e-3)


def test_a_fraction_of_an_unknown_field_is_refused(evening: Database, now: datetime) -> None:
    start_setup(evening, "Heron", now - timedelta(minutes=1))
    with pytest.raises(OffsetNeedsField):
        record(evening, now, where="0.5f E")
    assert arrivals(evening) == []


@pytest.mark.parametrize("landing", Landing)
def test_a_landing_is_kept_as_a_word_without_an_offset(
    evening: Database, now: datetime, landing: Landing
) -> None:
    line = record(evening, now, where=landing.upper()).arrival
    assert (line.landing, line.offset, line.offset_east_arcmin, line.offset_north_arcmin) == (
        landing,
        "",
        None,
        None,
    )


def test_what_nobody_measured_is_unknown_and_not_zero(evening: Database, now: datetime) -> None:
    line = record(evening, now).arrival
    assert (line.offset_east_arcmin, line.offset_north_arcmin, line.landing) == (None, None, None)


def test_a_centring_time_on_an_unknown_name_is_refused(evening: Database, now: datetime) -> None:
    with pytest.raises(OffsetNeedsDeclination, match="field star"):
        record(evening, now, "field star", where="4s E @16x")


def test_half_a_place_is_refused(evening: Database, now: datetime) -> None:
    halves: list[dict[str, Any]] = [{"ra_hours": 18.6}, {"dec_deg": 60.0}]
    for half in halves:
        with pytest.raises(WrongInput, match="both its coordinates"):
            record(evening, now, "field star", **half)


@pytest.mark.parametrize(
    "said",
    [
        {"field_arcmin": 0.0}, {"field_arcmin": math.nan}, {"field_arcmin": math.inf}, {"centring_arcmin": -0.1},
        {"centring_arcmin": math.nan}, {"ra_hours": 24.1, "dec_deg": 0.0}, {"ra_hours": 1.0, "dec_deg": 90.1},
        {"ra_hours": math.nan, "dec_deg": 0.0}, {"where": "10801E"}, {"where": "181d S"}, {"where": "9" * 400 + "E"},
        {"where": "9" * 300 + "f E"}, {"where": "9" * 300 + "s E @" + "9" * 300 + "x"},
    ],
    ids=str,
)  # fmt: skip
def test_a_number_that_cannot_be_meant_is_wrong_input(
    evening: Database, now: datetime, said: dict[str, Any]
) -> None:
    with pytest.raises(OutOfRange) as caught:
        record(evening, now, **said)
    assert caught.value.exit_code == 2
    assert arrivals(evening) == []


@pytest.mark.parametrize("where", ["nan E", "inf N", "-3E", "far", "3E 4W"])
def test_what_is_no_offset_is_wrong_input(evening: Database, now: datetime, where: str) -> None:
    with pytest.raises(UnreadableOffset):
        record(evening, now, where=where)


def test_keys_of_an_altaz_mount_move_otherwise(evening: Database, now: datetime) -> None:
    start_setup(evening, "Thistle", now - timedelta(minutes=1))
    with pytest.raises(KeysMoveOtherwise, match="Thistle"):
        record_arrival(
            evening,
            Role.SYNC,
            ArrivalEntry(target="Vega", where=stood("4s E @16x")),
            SetupChoice(mount="Thistle"),
            now,
        )
    record_arrival(
        evening,
        Role.SYNC,
        ArrivalEntry(target="Vega", where=stood("3E 2N")),
        SetupChoice(mount="Thistle"),
        now,
    )


def test_the_observer_is_that_of_the_setup_or_the_one_named(evening: Database, now: datetime) -> None:
    record(evening, now)
    record(evening, now, "Capella", observer="bram ostler")
    with pytest.raises(UnknownName, match="Bram Oster"):
        record(evening, now, "Polaris", observer="Bram Oster")
    query = (
        select(Arrival.target, Member.name).join(Member, Arrival.member_id == Member.id).order_by(Arrival.id)
    )
    with evening.read() as session:
        assert session.execute(query).all() == [("Vega", "Ines"), ("Capella", "Bram Ostler")]


def test_with_an_eyepiece_of_none_the_field_is_unknown(evening: Database, now: datetime) -> None:
    entry = ArrivalEntry(target="Regulus", eyepiece="none")
    assert record_arrival(evening, Role.SYNC, entry, SetupChoice(), now).arrival.field_arcmin is None
    given = ArrivalEntry(target="Procyon", eyepiece="none", field_arcmin=30.0)
    assert record_arrival(evening, Role.SYNC, given, SetupChoice(), now).arrival.field_arcmin == 30.0
