"""A night with a wrong date or site is moved, and what hangs on it moves along."""

from datetime import UTC, date, datetime, timedelta
from math import asin, cos, degrees, radians, sin

import pytest
from sqlalchemy import select

from obslog.club.checklist.step_ticks import tick_step
from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.night_pages import WholeNight, whole_night
from obslog.club.night.nights import end_night, note_night, start_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.open_night import NightChoice, SetupChoice
from obslog.club.night.plausibility import BelowHorizon
from obslog.club.night.setup_corrections import flip_setup
from obslog.club.night.setups import start_setup
from obslog.club.night.snags import add_snag, fix_snag, list_snags
from obslog.club.night_moves import NightThere, OpenNightThere, move_night
from obslog.club.register.undo import redo, undo
from obslog.errors import NothingToChange
from obslog.grammar.sky_readings import read_sky
from obslog.grammar.typed_times import OutsideNight
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Tick
from obslog.times import FutureTime
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import PierSide
from obslog.vocabulary.steps import Step
from tests.records.test_change_counting import counts
from tests.written_once import rows_of

MARCH_2 = NightChoice("Mill Field", date(2026, 3, 2))
SETUP = SetupChoice()


@pytest.fixture
def night(evening: Database, now: datetime) -> Database:
    """The evening with an arrival, an observation, a reading, a flip, a tick, and a snag mended on the spot."""
    record_arrival(evening, Role.SYNC, ArrivalEntry(target="Regulus", at="20:30"), SETUP, now)
    record_observations(evening, "M 44", ObservationEntry(at="21:00"), now)
    note_night(evening, NightChoice(), now, sky=[read_sky("antoniadi 3")], at="20:45")
    flip_setup(evening, PierSide.EAST, SETUP, now, at="20:50")
    tick_step(evening, Step.LEVEL, "Heron", "Mill Field", now, now)
    snag = add_snag(evening, Step.CABLES, "plug loose", now, at="20:55")
    fix_snag(evening, snag.reference, "pushed it in", now)
    return evening


def times(database: Database, choice: NightChoice) -> dict[str, str]:
    """When everything of a night was, by the clocks of its site."""
    whole = whole_night(database, choice)
    (setup,) = whole.setups
    return {
        "from": whole.page.started, "sky": whole.page.sky[0].at or "", "set-up": setup.started,
        "flip": setup.pier_side_since or "", "arrival": setup.arrivals[0].at, "seen": whole.observations[0].at,
    }  # fmt: skip


def altitude_by_hand_deg(
    ra_hours: float, dec_deg: float, lat_deg: float, lon_deg: float, utc: datetime
) -> float:
    """The altitude of a place of J2000, good to half a degree: precession is left out.

    Source: Meeus 1998, Astronomical Algorithms, equations 12.4 and 13.6.
    """
    days = (utc - datetime(2000, 1, 1, 12, tzinfo=UTC)) / timedelta(days=1)
    hour_angle = radians(280.46061837 + 360.98564736629 * days + lon_deg - 15 * ra_hours)
    lat, dec = radians(lat_deg), radians(dec_deg)
    return degrees(asin(sin(lat) * sin(dec) + cos(lat) * cos(dec) * cos(hour_angle)))


def test_by_another_date_all_keeps_its_time_of_day_and_altitudes_are_new(
    night: Database, now: datetime
) -> None:
    before = times(night, MARCH_2)
    moved = move_night(night, MARCH_2, now, to_date=date(2026, 2, 10))
    there = NightChoice("Mill Field", date(2026, 2, 10))
    assert (moved.night.night, moved.night.site, moved.remarks) == (date(2026, 2, 10), "Mill Field", [])
    assert times(night, there) == before
    whole: WholeNight = whole_night(night, there)
    seen = whole.observations[0]
    assert seen.at_utc == datetime(2026, 2, 10, 21, tzinfo=UTC)
    # M 44 is at 8h 40.4m, +19.7 deg; 20 days earlier it stood 19.7 deg further east.
    assert seen.alt_deg == pytest.approx(altitude_by_hand_deg(8.673, 19.67, 52.2, 0.12, seen.at_utc), abs=0.5)
    assert [snag.text for snag in whole.snags] == ["plug loose"]
    (snag,) = list_snags(night, with_fixed=True)
    assert (snag.at_utc, snag.fixed_utc) == (
        datetime(2026, 2, 10, 20, 55, tzinfo=UTC), datetime(2026, 2, 10, 21, 40, tzinfo=UTC),
    )  # fmt: skip
    with night.read() as session:
        assert session.scalars(select(Tick.at_utc)).one() == datetime(2026, 2, 10, 21, 40, tzinfo=UTC)


def test_a_snag_mended_after_the_night_was_mended_when_it_was(night: Database, now: datetime) -> None:
    (snag,) = list_snags(night, with_fixed=True)
    later = now + timedelta(days=3)
    fix_snag(night, snag.reference, "a new plug", later)
    move_night(night, MARCH_2, later, to_date=date(2026, 3, 1))
    assert [s.fixed_utc for s in list_snags(night, with_fixed=True)] == [later]


@pytest.mark.parametrize(
    ("to_date", "moments", "remarks"),
    [
        (  # at 1:00 UTC of 29 March the clocks of London went from 1:00 to 2:00
            date(2026, 3, 28),
            ["2026-03-28 22:00", "2026-03-29 01:30", "2026-03-29 02:00"],
            ["01:30 never came that night, the clocks went forward: it is 02:30."],
        ),
        (  # at 1:00 UTC of 25 October they went from 2:00 back to 1:00
            date(2026, 10, 24),
            ["2026-10-24 21:00", "2026-10-25 00:30", "2026-10-25 03:00"],
            ["01:30 came twice that night: it is 00:30Z."],
        ),
        (date(2026, 6, 10), ["2026-06-10 21:00", "2026-06-11 00:30", "2026-06-11 02:00"], []),
    ],
)
def test_across_a_change_of_the_clocks_the_local_time_is_kept(
    club: Database, to_date: date, moments: list[str], remarks: list[str]
) -> None:
    later = datetime(2026, 11, 1, 12, tzinfo=UTC)
    start_night(club, "Mill Field", later, night=date(2026, 2, 10))
    for at in ("22:00", "1:30", "3:00"):
        record_observations(
            club, "M 81", ObservationEntry(at=at), later, choice=NightChoice(night=date(2026, 2, 10))
        )
    moved = move_night(club, NightChoice(), later, to_date=to_date)
    assert moved.remarks == remarks
    seen = whole_night(club, NightChoice(night=to_date)).observations
    assert [f"{line.at_utc:%Y-%m-%d %H:%M}" for line in seen] == moments


def test_by_another_site_a_night_recorded_as_it_went_keeps_its_moments(
    night: Database, now: datetime
) -> None:
    moved = move_night(night, MARCH_2, now, to_site="kestrel ridge")
    assert moved.remarks == [
        "The moments stay as they were recorded: 19:40 is 21:40 by the clocks of Kestrel Ridge."
    ]
    whole = whole_night(night, NightChoice("Kestrel Ridge", date(2026, 3, 2)))
    seen = whole.observations[0]
    assert (seen.at_utc, seen.at) == (
        datetime(2026, 3, 2, 21, tzinfo=UTC),
        "23:00",
    )  # Johannesburg: UTC + 2 h
    assert seen.alt_deg == pytest.approx(
        altitude_by_hand_deg(8.673, 19.67, -32.4, 22.3, seen.at_utc), abs=0.5
    )
    assert [snag.site for snag in whole.snags] == ["Kestrel Ridge"]


def test_by_another_site_a_night_typed_in_later_keeps_its_times_of_day(club: Database, now: datetime) -> None:
    start_night(club, "Mill Field", now, night=date(2026, 2, 10))
    entry = ObservationEntry(at="22:30")
    record_observations(club, "M 44", entry, now, choice=NightChoice(night=date(2026, 2, 10)))
    moved = move_night(club, NightChoice(), now, to_site="Kestrel Ridge")
    assert moved.remarks == ["The times of day stay as they were typed."]
    (seen,) = whole_night(club, NightChoice()).observations
    assert (seen.at, seen.at_utc) == ("22:30", datetime(2026, 2, 10, 20, 30, tzinfo=UTC))


def test_a_moment_that_is_of_another_night_there_is_refused(club: Database) -> None:
    now = datetime(2026, 3, 2, 10, 30, tzinfo=UTC)  # 12:30 in Johannesburg
    start_night(club, "Mill Field", now)
    record_observations(club, "M 81", ObservationEntry(), now, sure=True)
    with pytest.raises(OutsideNight):
        move_night(club, NightChoice(), now, to_site="Kestrel Ridge", sure=True)


def test_a_night_that_is_there_already_is_refused(night: Database, now: datetime) -> None:
    end_night(night, NightChoice(), now)
    start_night(night, "Mill Field", now, night=date(2026, 2, 10))
    with pytest.raises(NightThere) as caught:
        move_night(night, MARCH_2, now, to_date=date(2026, 2, 10))
    assert caught.value.hint == 'See it: obslog night show --site "Mill Field" --night 2026-02-10'


def test_an_open_night_does_not_come_to_a_site_with_another(night: Database, now: datetime) -> None:
    start_night(night, "Kestrel Ridge", now, night=date(2026, 2, 10))
    with pytest.raises(OpenNightThere, match="Kestrel Ridge has an open night of its own, of 2026-02-10"):
        move_night(night, MARCH_2, now, to_site="Kestrel Ridge")
    end_night(night, MARCH_2, now)
    assert move_night(night, MARCH_2, now, to_site="Kestrel Ridge").night.open is False


def test_what_has_not_come_yet_is_refused(night: Database, now: datetime) -> None:
    for day in (date(2026, 3, 3), date(2027, 3, 2)):
        with pytest.raises(FutureTime):
            move_night(night, MARCH_2, now, to_date=day)
    with pytest.raises(FutureTime):  # the night has begun, its entries of 21:40 have not come
        move_night(night, MARCH_2, datetime(2026, 3, 3, 15, tzinfo=UTC), to_date=date(2026, 3, 3))


def test_what_would_have_been_below_the_horizon_is_questioned(night: Database, now: datetime) -> None:
    before = rows_of(night.engine)
    august = date(2025, 8, 10)  # then M 44 and Regulus are beside the Sun
    with pytest.raises(BelowHorizon):
        move_night(night, MARCH_2, now, to_date=august)
    assert rows_of(night.engine) == before
    move_night(night, MARCH_2, now, to_date=august, sure=True)
    assert (whole_night(night, NightChoice(night=august)).observations[0].alt_deg or 0) < -1


def test_a_move_that_says_nothing_is_refused(night: Database, now: datetime) -> None:
    with pytest.raises(NothingToChange):
        move_night(night, MARCH_2, now)


@pytest.mark.parametrize("to_site", [None, "Kestrel Ridge"])
def test_a_move_is_undone_and_done_again_as_a_whole(
    night: Database, now: datetime, to_site: str | None
) -> None:
    start_setup(night, "Bracken", now)
    before = rows_of(night.engine)
    move_night(night, MARCH_2, now, to_site=to_site, to_date=date(2026, 2, 10))
    after = rows_of(night.engine)
    assert undo(night, now) == "move the night"
    unlogged = {"acts", "changes"}
    assert {t.name: r for t, r in rows_of(night.engine) if t.name not in unlogged} == {
        t.name: r for t, r in before if t.name not in unlogged
    }
    redo(night, now)
    assert {t.name: r for t, r in rows_of(night.engine) if t.name not in unlogged} == {
        t.name: r for t, r in after if t.name not in unlogged
    }


@pytest.mark.parametrize("move", [{"to_date": date(2026, 2, 10)}, {"to_site": "Kestrel Ridge"}])
def test_what_is_kept_of_the_mounts_of_that_night_is_computed_anew(
    night: Database, now: datetime, move: dict[str, str]
) -> None:
    before = counts(night)
    move_night(night, MARCH_2, now, **move)  # type: ignore[arg-type]
    after = counts(night)
    assert after["Heron"] > before["Heron"]
    assert {name: after[name] for name in ("Bracken", "Thistle")} == {
        name: before[name] for name in ("Bracken", "Thistle")
    }
