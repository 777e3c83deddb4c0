"""What arrivals alone show to have gone wrong at a step: far landings, a polar axis far off, a first star far out."""

import json
from datetime import date, datetime, timedelta
from math import cos, hypot, log, radians, sqrt
from uuid import UUID, uuid4

import pytest
from scipy.optimize import brentq
from sqlalchemy import select, update

from obslog.club.aligning import first_star_mistakes
from obslog.club.checklist.first_stars import beginnings
from obslog.club.checklist.measured_faults import (
    NO_MISTAKE_OF_A_STEP,
    STEP_OF_CAUSE,
    note_lost_first_stars,
    note_polar_errors,
)
from obslog.club.checklist.past_nights import read_past_nights
from obslog.club.checklist.setup_outcomes import Occasions, Wrong, note_snags
from obslog.club.performance.polar_record import PolarRecord
from obslog.club.performance.snapshot import Snapshot
from obslog.club.register.named_records import add
from obslog.pointing.mistakes.posterior import LikelyCause
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Mount, Night, Setup, Site
from obslog.values import Estimate, SetupId
from obslog.vocabulary.arrivals import Landing, Role
from obslog.vocabulary.mistakes import Cause, SetupFault
from obslog.vocabulary.mounts import MountType
from obslog.vocabulary.steps import Step, StepKey
from tests.club.checklist.test_look_first import Logbook
from tests.club.performance.histories import Evening, put_on_record
from tests.club.performance.test_mount_fit import SAMPLES, take_in

NIGHT = date(2026, 2, 1)
LATER = date(2026, 12, 31)


def wrong_on(database: Database, until: date = LATER) -> dict[date, dict[StepKey, Wrong]]:
    """What went wrong on each night."""
    with database.read() as session:
        return {one.night_of: one.wrong for one in read_past_nights(session, until).occasions}


def least_half_arcmin(out_arcmin: float, count: int) -> float:
    """The low end of the radius inside which half land, where all that were seen stood so far out.

    Twice the log likelihood of Rayleigh's law falls by 2 n (x - 1 - ln x) where the scale's square is divided by x;
    3.841 is the 95 % point of chi-squared.
    """
    x = brentq(lambda x: 2 * count * (x - 1 - log(x)) - 3.841459, 1, 100)
    return out_arcmin * sqrt(log(2)) / sqrt(x)


@pytest.mark.parametrize(
    ("out", "count", "certain"), [(100, 8, True), (45, 30, True), (45, 8, False), (33, 30, False)]
)
def test_landings_are_far_where_half_are_certainly_outside_half_a_degree(
    sqlite_club: Database, out: float, count: int, certain: bool
) -> None:
    assert (least_half_arcmin(out, count) > 30) is certain
    put_on_record(sqlite_club, [Evening(NIGHT, [out] * count)])
    half = out * sqrt(log(2))
    told = {Step.VERIFY: Wrong(f"half of the go-tos landed over {half:.0f}' out", SetupFault.FAR_LANDINGS)}
    assert wrong_on(sqlite_club) == {NIGHT: told if certain else {}}


def test_the_polar_axis_of_each_night_is_that_of_the_truth(sqlite_database: Database) -> None:
    """Without noise, one night stood over half a degree off; a degree of azimuth is cos(latitude) of one."""
    take_in(sqlite_database, "german_exact")
    truth = json.loads((SAMPLES / "truth.json").read_text())["german_exact"]
    off = {
        date.fromisoformat(setup["night"]): hypot(
            setup["polar_altitude_arcmin"],
            setup["polar_azimuth_arcmin"] * cos(radians(truth["site"]["lat_deg"])),
        )
        for setup in truth["setups"]
    }
    (far,) = (night for night, arcmin in off.items() if arcmin > 30)
    found = wrong_on(sqlite_database)
    assert {night for night, wrong in found.items() if Step.POLAR_AXIS in wrong} == {far}
    assert found[far][Step.POLAR_AXIS] == Wrong(f"polar axis {off[far]:.0f}' off", Cause.POLAR_AXIS)


def polar_record(value: float, sd: float, key: UUID, kind: MountType) -> PolarRecord:
    label = SetupId(key=key, night=NIGHT, setup=1, site="Mill Field", mount="Heron")
    return PolarRecord("Heron", kind, [(label, Estimate(value, sd, 6, True))], [])


@pytest.mark.parametrize(
    ("kind", "step", "wrong"),
    [
        (MountType.GERMAN, Step.POLAR_AXIS, Wrong("polar axis 33' off", Cause.POLAR_AXIS)),
        (MountType.ALTAZ, Step.LEVEL, Wrong("base tilted by 33'", SetupFault.TILTED_BASE)),
    ],
)
def test_an_axis_is_far_off_where_it_is_so_by_two_standard_deviations(
    sqlite_club: Database, kind: MountType, step: Step, wrong: Wrong
) -> None:
    put_on_record(sqlite_club, [Evening(NIGHT, [6.0])])
    with sqlite_club.read() as session:
        key = session.scalars(select(Setup.id)).one()
        occasions = Occasions(session, LATER)
        note_polar_errors(occasions, polar_record(33.0, 1.5, key, kind))  # 33 - 3 is not over 30
        assert [one.wrong for one in occasions] == [{}]
        note_polar_errors(occasions, polar_record(33.0, 1.4, key, kind))
        assert [one.wrong for one in occasions] == [{step: wrong}]
        note_polar_errors(occasions, polar_record(90.0, 1.0, uuid4(), kind))  # of no set-up on record
        note_polar_errors(occasions, polar_record(90.0, 1.0, key, kind))  # the first word stays
        assert [one.wrong for one in occasions] == [{step: wrong}]


def far_first_stars(
    database: Database, now: datetime, *arrivals: dict[str, object]
) -> tuple[int, list[dict[StepKey, Wrong]]]:
    """How many first stars are left to be explained, and what is already known to have gone wrong."""
    with database.write(now) as session:
        log = Logbook(session)
        setup = log.setup(NIGHT)
        for columns in arrivals:
            log.arrival(setup, NIGHT, **columns)
    with database.read() as session:
        occasions = Occasions(session, LATER)
        note_snags(session, occasions)
        found = note_lost_first_stars(session, beginnings(Snapshot(session)), occasions)
        return len(found), [one.wrong for one in occasions]


def off(east_arcmin: float, north_arcmin: float, target: str = "Capella") -> dict[str, object]:
    return {"offset_east_arcmin": east_arcmin, "offset_north_arcmin": north_arcmin, "target": target}


@pytest.mark.parametrize(
    ("first", "count"),
    [
        (off(108.0, 144.0), 0),  # 180' by Pythagoras: three times an ordinary first star, and not over it
        (off(108.0, 145.0), 1),
        (off(-600.0, 0.0), 1),
        (off(-600.0, 0.0, "Nobody's star"), 0),  # which star that is, nobody knows
        ({"landing": Landing.EDGE}, 0),
    ],
)
def test_a_first_star_over_three_degrees_out_is_to_be_explained(
    sqlite_club: Database, now: datetime, first: dict[str, object], count: int
) -> None:
    assert far_first_stars(sqlite_club, now, first) == (count, [{}])


def test_a_first_star_that_was_lost_counts_where_place_and_time_are_keyed_in(
    sqlite_club: Database, now: datetime
) -> None:
    lost = Wrong("first star Capella not found", SetupFault.FIRST_STAR_LOST)
    assert far_first_stars(sqlite_club, now, {"landing": Landing.LOST}) == (0, [{Step.KEY_IN: lost}])


def test_only_the_first_arrival_is_a_first_star(sqlite_club: Database, now: datetime) -> None:
    later = datetime(2026, 2, 1, 21, 30, tzinfo=now.tzinfo)
    second: dict[str, object] = {"landing": Landing.LOST, "at_utc": later, "role": Role.GOTO}
    assert far_first_stars(sqlite_club, now, off(3.0, 4.0), second) == (0, [{}])


def test_what_a_snag_says_of_the_first_star_needs_no_explaining(sqlite_club: Database, now: datetime) -> None:
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        setup = log.setup(NIGHT)
        log.snag(setup, NIGHT, "summer time was off")
        log.arrival(setup, NIGHT, **off(-600.0, 0.0))
    with sqlite_club.read() as session:
        occasions = Occasions(session, LATER)
        note_snags(session, occasions)
        assert note_lost_first_stars(session, beginnings(Snapshot(session)), occasions) == []
        assert [one.wrong[Step.KEY_IN].text for one in occasions] == ["summer time was off"]
        # Of a night that has not come yet nothing is known.
        before = Occasions(session, NIGHT - timedelta(days=1))
        assert note_lost_first_stars(session, beginnings(Snapshot(session)), before) == []


def test_from_a_site_without_a_place_a_first_star_tells_nothing(sqlite_club: Database, now: datetime) -> None:
    add(sqlite_club, "site", "Somewhere", {"zone": "Europe/London"}, now)
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        log.arrival(log.setup(NIGHT), NIGHT, **off(-600.0, 0.0))
        session.query(Night).update({Night.site_id: by_name(session, Site, "Somewhere").id})
    with sqlite_club.read() as session:
        assert note_lost_first_stars(session, beginnings(Snapshot(session)), Occasions(session, LATER)) == []


def test_a_first_star_that_was_below_the_horizon_hinders_nobody(sqlite_club: Database, now: datetime) -> None:
    """Alpha Centauri, at -61 deg, never rises at 52 deg north: its name or the time is wrong."""
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        log.arrival(log.setup(NIGHT), NIGHT, **off(-600.0, 0.0, "Rigil Kentaurus"))
    assert wrong_on(sqlite_club)[NIGHT] == {}


def test_a_first_star_an_hour_out_is_laid_to_summer_time_with_how_far_it_was(
    sqlite_club: Database, now: datetime
) -> None:
    """A controller an hour out misses by 15 deg x cos(declination): 10.4 deg for Capella at +46.0 deg."""
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        log.arrival(log.setup(NIGHT), NIGHT, **off(-10.42 * 60, 6.0))
    wrong = wrong_on(sqlite_club)[NIGHT][Step.KEY_IN]
    assert wrong.cause is Cause.SUMMER_TIME
    assert wrong.text.startswith("first star Capella 10° off; ")


@pytest.mark.parametrize(
    ("kind", "step", "cause"),
    [
        (MountType.FORK, Step.POLAR_AXIS, Cause.POLAR_AXIS),
        (MountType.ALTAZ, Step.LEVEL, SetupFault.TILTED_BASE),
    ],
)
def test_a_gross_axis_is_laid_to_the_step_that_the_mount_has(
    sqlite_club: Database,
    now: datetime,
    monkeypatch: pytest.MonkeyPatch,
    kind: MountType,
    step: Step,
    cause: Cause | SetupFault,
) -> None:
    """An alt-azimuth mount's checklist has no polar axis: its base is levelled."""
    likely = LikelyCause(
        cause=Cause.POLAR_AXIS, probability=0.9, what="its axis", remedy="Mend it.", look_at="It."
    )
    monkeypatch.setattr(first_star_mistakes, "causes_of_miss", lambda *_: [likely])
    with sqlite_club.write(now) as session:
        session.execute(update(Mount).values(mount_type=kind))
        log = Logbook(session)
        log.arrival(log.setup(NIGHT), NIGHT, **off(-600.0, 0.0))
    found = {at: wrong.cause for at, wrong in wrong_on(sqlite_club)[NIGHT].items()}
    assert found == {step: cause}


def test_every_mistake_of_a_first_star_has_its_step_or_none() -> None:
    assert set(STEP_OF_CAUSE) == set(Cause) - NO_MISTAKE_OF_A_STEP
