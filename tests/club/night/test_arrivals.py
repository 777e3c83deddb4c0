"""Arrivals typed in one short line, in the dark, and put right afterwards."""

from datetime import date, datetime, timedelta

import pytest

from obslog.club.night.arrival_corrections import edit_arrival
from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import AlreadyRecorded, GoesToNothing, record_arrival
from obslog.club.night.nights import end_night, start_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.open_night import NightChoice, NightIsOver, NoOpenSetup, SetupChoice, WhichOne
from obslog.club.night.plausibility import BeforeItsSetup, BelowHorizon
from obslog.club.night.setups import show_setup, start_setup
from obslog.club.register import named_records
from obslog.fields import UnusableText
from obslog.grammar.typed_times import UnreadableTime
from obslog.offsets import read_offset_or_landing as stood
from obslog.records.database import Database
from obslog.times import FutureTime
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import Controller
from tests.club.night.typed_arrivals import OPEN, arrivals, record

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
