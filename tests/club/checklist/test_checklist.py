"""The checklist: its steps in order, tonight's values, and what went wrong before at each step."""

from datetime import UTC, datetime
from itertools import combinations
from zoneinfo import ZoneInfo

import pytest

from obslog.club.aligning.star_candidates import usual_limits
from obslog.club.aligning.sync_star_plan import plan_stars
from obslog.club.checklist.checklist import Checklist, ChecklistStep, checklist
from obslog.club.register import named_records
from obslog.club.register.observing_site import ObservingSite, SiteWithoutZone, instant_at_site
from obslog.club.routine.step_guides import steps_for
from obslog.errors import UnknownName
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Site
from obslog.values import Place
from obslog.vocabulary.cautions import Danger
from obslog.vocabulary.mounts import Controller, MountType
from obslog.vocabulary.steps import Step

WINTER, SUMMER = datetime(2026, 1, 10, 21, 5, tzinfo=UTC), datetime(2026, 7, 10, 21, 5, tzinfo=UTC)


def step_of(made: Checklist, step: Step) -> ChecklistStep:
    (found,) = [s for s in made.steps if s.step is step]
    return found


def test_the_steps_are_those_of_practice_in_their_order(club: Database, now: datetime) -> None:
    # The order of a German mount's set-up in common practice: pack, ground, level, head and weights and tube, balance,
    # home, finder, cables, power, cool, key in, polar axis, stars, centring, verifying, writing down, packing away.
    made = checklist(club, "Heron", "Mill Field", now)
    assert [s.step for s in made.steps] == [
        Step.PACK, Step.GROUND, Step.LEVEL, Step.ASSEMBLE, Step.BALANCE, Step.HOME, Step.FINDER, Step.CABLES,
        Step.POWER, Step.COOL, Step.KEY_IN, Step.POLAR_AXIS, Step.SYNC_STARS, Step.CENTRE, Step.VERIFY,
        Step.WRITE_DOWN, Step.FINISH,
    ]  # fmt: skip
    assert [s.order for s in made.steps] == list(range(1, len(Step) + 1))


def test_an_altaz_mount_has_no_polar_axis_but_a_base_to_level(club: Database, now: datetime) -> None:
    made = checklist(club, "Thistle", "Mill Field", now)
    assert len(made.steps) == len(Step) - 1
    assert Step.POLAR_AXIS not in [s.step for s in made.steps]
    assert step_of(made, Step.LEVEL).title == "Level the base"
    assert not [s for s in made.steps if "polar" in s.do.lower() or "counterweight on" in s.do.lower()]


@pytest.mark.parametrize("mount", ["Heron", "Bracken", "Thistle"])
def test_every_step_says_what_how_well_and_why(club: Database, now: datetime, mount: str) -> None:
    for step in checklist(club, mount, "Mill Field", now).steps:
        assert all((step.title, step.do, step.tolerance, step.why)), step.step


def test_while_the_sun_is_up_the_checklist_says_so(club: Database) -> None:
    # Mill Field, 52.2 north: up at 14:00 on 10 July, down at 21:05, and in January by 17:00.
    up, down, winter = (
        checklist(club, "Thistle", "Mill Field", at).by_day
        for at in (datetime(2026, 7, 10, 14, tzinfo=UTC), SUMMER, datetime(2026, 1, 10, 17, tzinfo=UTC))
    )
    assert (up, down, winter) == (Danger.DAYTIME, None, None)


def test_the_sun_comes_first(club: Database, now: datetime) -> None:
    made = checklist(club, "Heron", "Mill Field", now)
    assert "Sun" in made.caution
    assert "ask somebody qualified" in made.caution


@pytest.mark.parametrize(
    ("zone", "instant", "clock", "summer"),
    [
        # Offsets and rules as the IANA time zone database has them for 2026.
        ("Europe/London", WINTER, "21:05, zone +0 h", "NO"),
        ("Europe/London", SUMMER, "22:05, zone +0 h", "YES"),
        ("Europe/Dublin", WINTER, "21:05, zone +0 h", "NO"),  # by law winter time is the exception there
        ("Europe/Dublin", SUMMER, "22:05, zone +0 h", "YES"),
        ("Africa/Johannesburg", SUMMER, "23:05, zone +2 h", "NO"),
        ("Australia/Sydney", WINTER, "08:05, zone +10 h", "YES"),
        ("Australia/Sydney", SUMMER, "07:05, zone +10 h", "NO"),
        ("Australia/Brisbane", WINTER, "07:05, zone +10 h", "NO"),
        ("America/Santiago", WINTER, "18:05, zone -4 h", "YES"),
        ("America/Santiago", SUMMER, "17:05, zone -4 h", "NO"),
        ("America/St_Johns", SUMMER, "18:35, zone -3.5 h", "YES"),
        ("Asia/Kathmandu", WINTER, "02:50, zone +5.75 h", "NO"),
    ],
)
def test_time_and_summer_time_are_what_the_clock_there_shows(
    sqlite_database: Database, zone: str, instant: datetime, clock: str, summer: str
) -> None:
    named_records.add(
        sqlite_database, "site", "Dune", {"lat_deg": -1.0, "lon_deg": 0.0, "zone": zone}, WINTER, sure=True
    )
    named_records.add(
        sqlite_database, "mount", "Otter", {"mount_type": "german", "controller": "shift"}, WINTER
    )
    values = step_of(checklist(sqlite_database, "Otter", "Dune", instant), Step.KEY_IN).values
    assert f"time {clock}, summer time {summer}" in values


def test_where_clocks_go_back_for_a_month_zone_and_summer_time_still_add_up(
    sqlite_database: Database,
) -> None:
    # Morocco keeps UTC+1 all year but for Ramadan (in 2026 from 18 February), when it is UTC (IANA, rule Morocco).
    named_records.add(
        sqlite_database,
        "site",
        "Dune",
        {"lat_deg": 31.6, "lon_deg": -8.0, "zone": "Africa/Casablanca"},
        WINTER,
    )
    named_records.add(
        sqlite_database, "mount", "Otter", {"mount_type": "german", "controller": "shift"}, WINTER
    )
    in_ramadan = datetime(2026, 3, 1, 21, 5, tzinfo=UTC)
    values = step_of(checklist(sqlite_database, "Otter", "Dune", in_ramadan), Step.KEY_IN).values
    assert "time 21:05, zone +0 h, summer time NO" in values


@pytest.mark.parametrize(
    ("site", "place", "scale"),
    [
        ("Mill Field", ("52", "12", "N", "0", "07", "E"), "altitude scale 52.2°, toward true north"),
        ("Kestrel Ridge", ("32", "24", "S", "22", "18", "E"), "altitude scale 32.4°, toward true south"),
    ],
)
def test_place_and_pole_are_those_of_the_site(
    club: Database, now: datetime, site: str, place: tuple[str, ...], scale: str
) -> None:
    made = checklist(club, "Heron", site, now)
    shown = step_of(made, Step.KEY_IN).values[0]
    assert [part for part in place if part not in shown] == []
    assert scale in step_of(made, Step.POLAR_AXIS).values


def test_after_midnight_the_night_keeps_the_date_of_its_evening(club: Database) -> None:
    made = checklist(club, "Heron", "Mill Field", datetime(2026, 7, 3, 0, 30, tzinfo=UTC))
    assert "date 2026-07-03 (03 July 2026), night of 2026-07-02" in step_of(made, Step.KEY_IN).values
    assert made.local == "2026-07-03 01:30"


def test_what_is_not_on_record_of_a_site_is_said(club: Database, now: datetime) -> None:
    from obslog.records.tables.base import name_key
    from obslog.records.tables.logbook_tables import Site

    with club.write(now) as session:
        session.add(Site(name="Fell Top", name_key=name_key("Fell Top")))
    made = checklist(club, "Heron", "Fell Top", now)
    values = step_of(made, Step.KEY_IN).values
    assert "not on record" in values[0]
    assert "not on record" in values[1]
    assert step_of(made, Step.POLAR_AXIS).values == []


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (None, "2026-03-02T21:40"),
        ("22:15", "2026-03-02T22:15"),
        ("01:30", "2026-03-03T01:30"),
        ("22:15 UTC", "2026-03-02T22:15"),
        ("2026-07-02T21:00:00Z", "2026-07-02T21:00"),
        ("2026-07-02 21:00Z", "2026-07-02T21:00"),
        ("2026-07-02T22:00:00+01:00", "2026-07-02T21:00"),
    ],
)
def test_a_checklist_may_be_for_tonight_or_for_a_day_to_come(
    club: Database, now: datetime, text: str | None, expected: str
) -> None:
    assert f"{instant_at_site(club, 'Mill Field', text, now, planning=True):%Y-%m-%dT%H:%M}" == expected


def test_where_the_zone_is_unknown_a_full_instant_is_understood_and_a_clock_is_not(
    club: Database, now: datetime
) -> None:
    with club.write(now) as session:
        session.add(Site(name="Moor", name_key="moor"))
    assert instant_at_site(club, "Moor", None, now, planning=True) == now
    assert instant_at_site(club, "Moor", "2026-07-02T21:00Z", now, planning=True) == datetime(
        2026, 7, 2, 21, tzinfo=UTC
    )
    with pytest.raises(SiteWithoutZone):
        instant_at_site(club, "Moor", "22:15", now, planning=True)


@pytest.mark.parametrize(
    ("mount", "site", "member"),
    [("Heren", "Mill Field", None), ("Heron", "Meadow", None), ("Heron", "Mill Field", "Inez")],
)
def test_unknown_names_are_refused(
    club: Database, now: datetime, mount: str, site: str, member: str | None
) -> None:
    with pytest.raises(UnknownName):
        checklist(club, mount, site, now, member_name=member)


def read_to_a_person(mount_type: MountType, controller: Controller) -> str:
    return " ".join(f"{guide.do} {guide.why}" for guide in steps_for(mount_type, controller))


@pytest.mark.parametrize("controller", [Controller.SHIFT, Controller.NONE])
@pytest.mark.parametrize("mount_type", MountType)
@pytest.mark.parametrize(
    "words",
    [
        "caps stay on until the Sun has set",
        "Never toward the Sun",
        "aircraft and people",
        "its battery out",
        "never shines toward an eye",
        "cap the terminals",
        "gives off gas",
        "never warm a frozen one",
        "charge none unattended",
        "Two people lift",
        "Whoever goes alone",
        "If you are tired, sleep before you drive.",
    ],
)
def test_the_usual_cautions_are_read_out_for_every_mount(
    mount_type: MountType, controller: Controller, words: str
) -> None:
    assert words in read_to_a_person(mount_type, controller)


def test_a_mount_without_a_controller_has_no_stars_to_sync() -> None:
    with_one = [guide.step for guide in steps_for(MountType.FORK, Controller.SHIFT)]
    without = [guide.step for guide in steps_for(MountType.FORK, Controller.NONE)]
    left_out = {Step.HOME, Step.KEY_IN, Step.SYNC_STARS, Step.CENTRE, Step.VERIFY}
    assert without == [step for step in with_one if step not in left_out]
    assert len(without) == len(with_one) - 5


@pytest.mark.parametrize("controller", [Controller.SHIFT, Controller.NONE])
@pytest.mark.parametrize(
    ("mount_type", "not_there"),
    [
        (MountType.FORK, ["ounterweight", "flip", "pier", "cone error"]),
        (MountType.ALTAZ, ["ounterweight", "flip", "pier", "cone error", "meridian;", "declination"]),
    ],
)
def test_a_mount_is_told_nothing_of_what_it_has_not(
    mount_type: MountType, controller: Controller, not_there: list[str]
) -> None:
    told = read_to_a_person(mount_type, controller)
    assert [words for words in not_there if words in told] == []
    assert [
        words for words in not_there if words not in read_to_a_person(MountType.GERMAN, Controller.SHIFT)
    ] == []


def test_without_a_controller_nothing_was_keyed_in_that_could_be_written_down() -> None:
    for kind in MountType:
        (written,) = (one for one in steps_for(kind, Controller.NONE) if one.step is Step.WRITE_DOWN)
        assert "keyed in" not in written.do
        assert "synced" not in written.do


@pytest.mark.parametrize("kind", MountType)
def test_what_is_said_of_the_sun_and_the_pole_is_true_in_every_latitude(kind: MountType) -> None:
    """In the north of a high latitude's summer the Sun rises in the north, and in the south the pole star is of 5.5."""
    steps = {guide.step: guide for guide in steps_for(kind)}
    assert "park away from where the Sun will rise" in steps[Step.FINISH].do
    assert "pole star" not in steps[Step.FINDER].do
    if kind is MountType.ALTAZ:
        assert "never where the Sun stands or will rise" in steps[Step.HOME].do


@pytest.mark.parametrize("lat_deg", [52.0, -34.0])
def test_the_stars_planned_for_an_altaz_mount_stand_as_its_checklist_says(
    club: Database, lat_deg: float
) -> None:
    (said,) = (guide.do for guide in steps_for(MountType.ALTAZ) if guide.step is Step.SYNC_STARS)
    assert said.startswith("Two of them 90° or more apart in azimuth; all between 20° and 70° high.")
    view = ObservingSite("Anywhere", Place(lat_deg, 18.0), ZoneInfo("UTC"))
    for month in (2, 5, 8, 11):
        at = datetime(2026, month, 10, 21, tzinfo=UTC)
        stars = plan_stars(club, "Thistle", None, view, at, 3, usual_limits(view)).stars
        apart = [abs((one.az_deg - other.az_deg + 180) % 360 - 180) for one, other in combinations(stars, 2)]
        assert max(apart) >= 90
        assert all(20 <= star.alt_deg <= 70 for star in stars)


def test_the_tube_goes_on_last_and_comes_off_first() -> None:
    (finish,) = (guide for guide in steps_for(MountType.GERMAN) if guide.step is Step.FINISH)
    assert "The tube goes on last and comes off first." in finish.do
