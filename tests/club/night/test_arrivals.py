"""Arrivals typed in one short line, in the dark, and put right afterwards."""

import math
from datetime import date, datetime, timedelta
from typing import Any

import pytest
from numpy.testing import assert_allclose
from sqlalchemy import select

from obslog.club.night.arrival_corrections import edit_arrival
from obslog.club.night.arrivals import (
    AlreadyRecorded,
    ArrivalEntry,
    GoesToNothing,
    KeysMoveOtherwise,
    record_arrival,
)
from obslog.club.night.nights import end_night, start_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.open_night import NightChoice, NightIsOver, NoOpenSetup, SetupChoice, WhichOne
from obslog.club.night.plausibility import BeforeItsSetup, BelowHorizon
from obslog.club.night.setup_corrections import SetupEntry, edit_setup
from obslog.club.night.setups import show_setup, start_setup
from obslog.club.register import named_records
from obslog.errors import OutOfRange, UnknownName, WrongInput
from obslog.fields import UnusableText
from obslog.grammar.typed_times import UnreadableTime
from obslog.offsets import OffsetNeedsDeclination, OffsetNeedsField, UnreadableOffset
from obslog.offsets import read_offset_or_landing as stood
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Arrival, Member
from obslog.times import FutureTime
from obslog.vocabulary.arrivals import Landing, Role
from obslog.vocabulary.mounts import Controller
from tests.club.night.typed_arrivals import OPEN, arrivals, record
from tests.known import known

# 1000 mm and a 25 mm eyepiece of 53 degrees: 40 times, 1.325 degrees, 79.5 arcminutes.
FIELD_ARCMIN = 79.5


def test_an_arrival_is_recorded_now_in_the_open_setup(evening: Database, now: datetime) -> None:
    recorded = record(evening, now, "alf Lyr", where="3E 2N")
    line = recorded.arrival
    assert (recorded.mount, recorded.remarks) == ("Heron", [])
    assert (line.number, line.at, line.at_utc, line.role, line.target) == (1, "21:40", now, "sync", "Vega")
    assert (line.offset, line.offset_east_arcmin, line.offset_north_arcmin) == ("3.0E 2.0N", 3.0, 2.0)
    assert (line.landing, line.field_arcmin, line.pier_side) == (None, FIELD_ARCMIN, None)
    assert arrivals(evening) == [line]


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


def test_an_unknown_name_is_kept_as_written_and_remarked(evening: Database, now: datetime) -> None:
    recorded = record(evening, now, " Vegga  star ")
    assert recorded.arrival.target == "Vegga star"
    assert "kept as written" in recorded.remarks[0]
    misspelt = record(evening, now, "Vegaa", Role.CHECK)
    assert "Did you mean Vega" in misspelt.remarks[0]


def test_an_unknown_name_with_its_place_needs_no_remark(evening: Database, now: datetime) -> None:
    recorded = record(evening, now, "field star", where="4s E @16x", ra_hours=18.6, dec_deg=60.0)
    assert recorded.remarks == []
    assert_allclose(known(recorded.arrival.offset_east_arcmin), 8.0219, atol=1e-4)


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


def test_an_arrival_of_what_was_below_the_horizon_is_questioned(evening: Database, now: datetime) -> None:
    """By hand: at 21:40 UTC on 2 March sidereal time at Greenwich is 8 h 22 min. Altair, RA 19 h 51 min, dec +8.9,

    is then at an hour angle of 12.5 h: 38 - 8.9 = 29 degrees below the north point of 52 degrees north.
    """
    for role in Role:
        with pytest.raises(BelowHorizon, match="Altair stood"):
            record(evening, now, "Altair", role)
    assert arrivals(evening) == []
    seen = ArrivalEntry(target="Altair")
    line = record_arrival(evening, Role.SYNC, seen, OPEN, now, sure=True).arrival
    assert line.target == "Altair"
    with pytest.raises(BelowHorizon):
        edit_arrival(evening, 1, ArrivalEntry(at="21:20"), OPEN, now)
    assert edit_arrival(evening, 1, ArrivalEntry(where=stood("3E")), OPEN, now).arrival.offset == "3.0E 0.0N"


def test_a_place_given_beside_an_unknown_name_is_looked_at(evening: Database, now: datetime) -> None:
    with pytest.raises(BelowHorizon):
        record(evening, now, "new comet", ra_hours=19.85, dec_deg=8.9)
    assert record(evening, now, "new comet", ra_hours=8.0, dec_deg=40.0).arrival.number == 1


def test_a_time_long_before_the_set_up_is_questioned(evening: Database, now: datetime) -> None:
    with pytest.raises(BeforeItsSetup):
        record(evening, now, "Polaris", at="13:00")
    assert arrivals(evening) == []


def test_of_a_first_star_before_the_set_up_it_is_said_how_to_put_the_beginning_right(
    evening: Database, now: datetime
) -> None:
    said = "On record this set-up began at 19:40, after 19:31. To put that right: obslog setup edit Heron --start TIME"
    assert record(evening, now, "Capella", at="19:31").remarks == [said]
    assert record(evening, now, "Procyon", at="19:36").remarks == []  # said once, not of each star
    edit_setup(evening, SetupEntry(start="19:25"), OPEN, now)
    assert record(evening, now, "Regulus", at="19:30").remarks == []


def test_a_body_that_is_the_sun_comes_with_the_caution(evening: Database, now: datetime) -> None:
    recorded = record_arrival(evening, Role.CHECK, ArrivalEntry(target="the sun"), OPEN, now, sure=True)
    assert (recorded.caution or "").startswith("The Sun: look only with a solar filter")
    assert recorded.arrival.target == "Sun"


def test_a_body_that_wanders_is_questioned_like_a_star(evening: Database, now: datetime) -> None:
    # At 21:40 UTC on 2 March 2026 from 52.2 N: the Sun (RA 22.9 h) and Saturn (0.1 h) have set; Jupiter (7.1 h) is up.
    for name in ("Sun", "Saturn", "Mercury"):
        with pytest.raises(BelowHorizon, match=name):
            record(evening, now, name)
    assert record(evening, now, "Jupiter").caution is None


@pytest.mark.parametrize("target", ["", "   ", "x" * 201, "Ve\x00ga", "Vega\udcff"])
def test_an_empty_long_or_unprintable_target_is_refused(
    evening: Database, now: datetime, target: str
) -> None:
    with pytest.raises(UnusableText, match="The target"):
        record(evening, now, target)


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


def test_the_same_arrival_twice_is_refused_and_named(evening: Database, now: datetime) -> None:
    record(evening, now - timedelta(minutes=5), "Capella")
    record(evening, now, where="3E")
    with pytest.raises(AlreadyRecorded, match="as number 2") as caught:
        record(evening, now, "alf Lyr", where="1W")
    assert "obslog edit 2" in caught.value.hint
    record(evening, now, role=Role.CHECK)
    record(evening, now, "Polaris")
    assert len(arrivals(evening)) == 4


def test_arrivals_are_numbered_in_order_of_their_times(evening: Database, now: datetime) -> None:
    record(evening, now)
    assert record(evening, now, "Capella", at="20:15").arrival.number == 1
    assert [(line.number, line.at, line.target) for line in arrivals(evening)] == [
        (1, "20:15", "Capella"),
        (2, "21:40", "Vega"),
    ]


def test_an_arrival_in_the_future_is_refused(evening: Database, now: datetime) -> None:
    with pytest.raises(FutureTime):
        record(evening, now, at="22:30")
    with pytest.raises(UnreadableTime):
        record(evening, now, at="half past nine")
    assert arrivals(evening) == []


def test_after_noon_an_arrival_needs_its_time(evening: Database, now: datetime) -> None:
    next_day = now + timedelta(hours=20)
    with pytest.raises(NightIsOver):
        record(evening, next_day)
    assert record(evening, next_day, at="23:15").arrival.at == "23:15"


def test_of_several_open_setups_one_must_be_named(evening: Database, now: datetime) -> None:
    start_setup(evening, "Bracken", now)
    with pytest.raises(WhichOne, match="Heron"):
        record(evening, now)
    assert (
        record_arrival(
            evening, Role.SYNC, ArrivalEntry(target="Vega"), SetupChoice(mount="bracken"), now
        ).mount
        == "Bracken"
    )


def test_without_a_setup_nothing_is_recorded(club: Database, now: datetime) -> None:
    start_night(club, "Mill Field", now)
    with pytest.raises(NoOpenSetup):
        record(club, now)


def test_an_arrival_of_a_past_night_is_added_by_naming_it(evening: Database, now: datetime) -> None:
    end_night(evening, NightChoice(), now)
    past = SetupChoice(mount="Heron", night=date(2026, 3, 2))
    line = record_arrival(
        evening, Role.CHECK, ArrivalEntry(target="Vega", at="21:10"), past, now + timedelta(days=3)
    ).arrival
    assert line.at == "21:10"


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


def test_a_mount_without_a_controller_takes_no_arrival_and_shows_objects(
    evening: Database, now: datetime
) -> None:
    named_records.edit(evening, "mount", "Heron", {"controller": Controller.NONE}, now)
    for role in Role:
        with pytest.raises(GoesToNothing, match=f"so it takes no {role}") as caught:
            record_arrival(evening, role, ArrivalEntry(target="Regulus"), SetupChoice(), now)
        assert "obslog saw OBJECT" in caught.value.hint
    assert show_setup(evening, SetupChoice()).arrivals == []
    seen = record_observations(evening, "M 44", ObservationEntry(), now).entries[0]
    assert (seen.observer, seen.magnification) == ("Ines", 40.0)


def test_the_same_star_at_the_same_place_a_moment_later_may_have_been_typed_twice(
    evening: Database, now: datetime
) -> None:
    def remarks(target: str, at: str, where: str | None = "3E 2N") -> list[str]:
        return record(evening, now, target, Role.CHECK, at=at, where=where).remarks

    assert remarks("Procyon", "20:31") == []
    assert remarks("Procyon", "20:32") == [
        "The check of Procyon at 20:31 is just the same, number 1; both are kept. "
        "If it was typed twice: obslog undo"
    ]
    assert remarks("Procyon", "20:33", "4E 2N") == []
    assert remarks("Procyon", "20:36", "4E 2N") == []
    assert remarks("Castor", "20:36", "4E 2N") == []
    assert remarks("Pollux", "20:37", None) == []
    assert "is just the same, number 6;" in remarks("Pollux", "20:38", None)[0]
