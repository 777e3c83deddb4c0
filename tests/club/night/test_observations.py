"""Objects that were looked at, or looked for."""

from datetime import UTC, date, datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.night.nights import end_night, start_night
from obslog.club.night.observation_lines import ObservationLine, list_observations
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.open_night import (
    NightChoice,
    NightIsOver,
    NoOpenNight,
    NoOpenSetup,
    NoSuchNight,
    WhichOne,
)
from obslog.club.night.setups import start_setup
from obslog.club.register.undo import undo
from obslog.errors import UnknownName
from obslog.fields import UnusableText
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Observation
from obslog.times import FutureTime
from obslog.vocabulary.observations import FindingMethod, Sighting

OPEN = NightChoice()


def record_observation(
    database: Database,
    target: str,
    now: datetime,
    *,
    observer: str | None = None,
    mount: str | None = None,
    **said: object,
) -> ObservationLine:
    """One observer's entry of an object, as it went on record."""
    entry = ObservationEntry(**said)  # type: ignore[arg-type]
    return record_observations(database, target, entry, now, observers=[observer], mount=mount).entries[0]


def test_an_object_is_seen_from_the_open_setup(evening: Database, now: datetime) -> None:
    line = record_observation(evening, "m13", now, description="grainy", found_by=FindingMethod.GOTO)
    assert (line.night, line.site, line.at, line.at_utc) == (date(2026, 3, 2), "Mill Field", "21:40", now)
    assert (line.target, line.sighting, line.found_by) == ("M 13", Sighting.SEEN, FindingMethod.GOTO)
    assert (line.observer, line.eyepiece, line.description) == ("Ines", "Wide 25", "grainy")
    assert list_observations(evening, OPEN) == [line]


def test_an_object_is_seen_without_a_setup_on_an_open_night(club: Database, now: datetime) -> None:
    with pytest.raises(NoOpenNight):
        record_observation(club, "M 31", now)
    start_night(club, "Mill Field", now)
    line = record_observation(club, "M 31", now, observer="bram ostler", found_by=FindingMethod.NAKED_EYE)
    assert (line.observer, line.eyepiece) == ("Bram Ostler", None)


def test_what_was_not_seen_is_recorded_too(evening: Database, now: datetime) -> None:
    assert (
        record_observation(evening, "NGC 891", now, sighting=Sighting.NOT_SEEN).sighting == Sighting.NOT_SEEN
    )


def test_another_observer_and_eyepiece_may_be_named(evening: Database, now: datetime) -> None:
    line = record_observation(evening, "M 13", now, observer="Bram Ostler", eyepiece="Stop 20")
    assert (line.observer, line.eyepiece) == ("Bram Ostler", "Stop 20")


def test_an_unknown_object_is_kept_as_written(evening: Database, now: datetime) -> None:
    assert record_observation(evening, "  Bram's  comet ", now).target == "Bram's comet"


def test_the_mount_may_be_named_and_must_be_where_several_are_open(evening: Database, now: datetime) -> None:
    with pytest.raises(NoOpenSetup):
        record_observation(evening, "M 13", now, mount="Bracken")
    start_setup(evening, "Bracken", now, observer="Bram Ostler")
    with pytest.raises(WhichOne):
        record_observation(evening, "M 13", now)
    assert record_observation(evening, "M 13", now, mount="bracken").observer == "Bram Ostler"


@pytest.mark.parametrize("wrong", [{"observer": "Inez"}, {"eyepiece": "Wide 26"}, {"mount": "Herron"}])
def test_an_unknown_name_records_nothing(evening: Database, now: datetime, wrong: dict[str, str]) -> None:
    with pytest.raises(UnknownName):
        record_observation(evening, "M 13", now, **wrong)
    assert list_observations(evening, OPEN) == []


@pytest.mark.parametrize("target", ["", " ", "x" * 201])
def test_an_empty_or_long_target_is_refused(evening: Database, now: datetime, target: str) -> None:
    with pytest.raises(UnusableText):
        record_observation(evening, target, now)


def test_a_future_time_is_refused(evening: Database, now: datetime) -> None:
    with pytest.raises(FutureTime):
        record_observation(evening, "M 13", now, at="22:15")


def test_what_is_found_without_a_telescope_has_no_eyepiece_and_no_magnification(
    evening: Database, now: datetime
) -> None:
    through_the_tube = record_observation(evening, "M 45", now, found_by=FindingMethod.STAR_HOP)
    assert (through_the_tube.eyepiece, through_the_tube.magnification) == ("Wide 25", 40.0)  # 1000 mm / 25 mm
    for method in (FindingMethod.NAKED_EYE, FindingMethod.BINOCULARS):
        line = record_observation(evening, "M 45", now, found_by=method)
        assert (line.found_by, line.eyepiece, line.magnification) == (method, None, None)
        assert line.observer == "Ines"
    told = record_observation(evening, "M 45", now, found_by=FindingMethod.BINOCULARS, magnification=10.0)
    assert (told.eyepiece, told.magnification) == (None, 10.0)
    looked_at = record_observation(evening, "M 45", now, found_by=FindingMethod.NAKED_EYE, eyepiece="wide 25")
    assert (looked_at.eyepiece, looked_at.magnification) == ("Wide 25", 40.0)


def test_an_eyepiece_of_none_is_no_eyepiece(evening: Database, now: datetime) -> None:
    line = record_observation(evening, "M 45", now, eyepiece="None")
    assert (line.eyepiece, line.magnification) == (None, None)
    told = record_observation(evening, "M 45", now, eyepiece="none", magnification=100.0)
    assert (told.eyepiece, told.magnification) == (None, 100.0)


def test_a_mount_of_none_is_no_setup_though_one_is_open(evening: Database, now: datetime) -> None:
    line = record_observation(evening, "M 45", now, mount="none")
    assert (line.observer, line.eyepiece, line.magnification) == (None, None, None)
    with evening.read() as session:
        assert session.scalars(select(Observation.setup_id)).one() is None


def test_an_entry_is_added_to_a_night_that_is_past(evening: Database, now: datetime) -> None:
    end_night(evening, OPEN, now)
    later, past = now + timedelta(days=3), NightChoice("Mill Field", date(2026, 3, 2))
    start_night(evening, "Mill Field", later)
    alone = record_observations(evening, "M 44", ObservationEntry(at="21:10"), later, choice=past).entries[0]
    assert (alone.night, alone.at, alone.observer, alone.eyepiece) == (date(2026, 3, 2), "21:10", None, None)
    entry = ObservationEntry(at="0:30", rating=3)
    with_heron = record_observations(evening, "M 3", entry, later, choice=past, mount="heron").entries[0]
    assert with_heron.at_utc == datetime(2026, 3, 3, 0, 30, tzinfo=UTC)
    assert (with_heron.number, with_heron.observer, with_heron.magnification) == (2, "Ines", 40.0)
    undo(evening, later)
    assert list_observations(evening, past) == [alone]


def test_an_entry_of_a_night_that_is_past_needs_its_time(evening: Database, now: datetime) -> None:
    end_night(evening, OPEN, now)
    past = NightChoice(night=date(2026, 3, 2))
    with pytest.raises(NightIsOver) as caught:
        record_observations(evening, "M 44", ObservationEntry(), now + timedelta(days=3), choice=past)
    assert caught.value.message == "The night of 2026-03-02 at Mill Field is over."
    entry = ObservationEntry(at="21:10")
    with pytest.raises(NoSuchNight):
        record_observations(evening, "M 44", entry, now, choice=past, mount="Bracken")
