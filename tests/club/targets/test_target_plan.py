"""An evening's plan: what it rests on, what is left out and why, and each target's place at its time, by Skyfield."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from math import atan, degrees, log10, pi
from pathlib import Path
from shutil import copy

import pytest
import skyfield_data
from skyfield.api import Star, load, load_file, wgs84

from obslog.club.night.nights import start_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.open_night import NightChoice
from obslog.club.register.observing_site import ObservingSite, observing_site
from obslog.club.targets.planned_targets import PlannedTarget, TargetPlan, Wish
from obslog.club.targets.target_plan import plan_targets
from obslog.errors import OutOfRange, UnknownName
from obslog.grammar.sky_readings import read_sky
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.sky.contrast.moonlight import dark_sky_nl, mag_per_arcsec2
from obslog.sky.evening.dark_windows import Dark, NotDark
from obslog.vocabulary.mounts import PierSide
from obslog.vocabulary.observations import Sighting
from tests.club.performance.histories import Evening, put_on_record
from tests.conftest import NOW

EVENING = Wish(names=["M 81", "M 44", "M 3", "M 35", "Nowhere at all"])
GEAR = replace(EVENING, mount="Heron", tube="Long tube", eyepiece="Wide 25")
FIELD = 53 * 25 / 1000 * 60  # the apparent field over the magnification, in arcminutes
J2000 = {  # hours and degrees, as any atlas has them
    "M 81": (9 + 55.55 / 60, 69.065),
    "M 44": (8 + 40.37 / 60, 19.672),
    "M 3": (13 + 42.19 / 60, 28.377),
    "M 35": (6 + 8.9 / 60, 24.34),
}
TIMES = load.timescale(builtin=True)
KERNEL = load_file(str(Path(skyfield_data.__file__).parent / "data" / "de421.bsp"))
MILL_FIELD = wgs84.latlon(52.2, 0.12, 20.0)


@pytest.fixture(scope="module")
def planner(club_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    """The club with its sky meter read, two set-ups of Heron, and M 44 seen by Ines; nothing is written later."""
    path = Path(copy(club_file, tmp_path_factory.mktemp("planner") / "club.db"))
    database = Database(make_engine(str(path)), str(path))
    for day, reading in (
        (1, "sky-meter 21.0"),
        (2, "sky-meter 21.4"),
        (3, "sky-meter 20.3"),
        (4, "bortle 4"),
    ):
        at = datetime(2026, 2, day, 21, tzinfo=UTC)
        start_night(database, "Mill Field", at, sky=[read_sky(reading)])
    start_night(
        database, "Kestrel Ridge", datetime(2026, 2, 1, 21, tzinfo=UTC), sky=[read_sky("sky-meter 22.9")]
    )
    put_on_record(database, [Evening(date(2025, 3, day), [10.0, 20.0, 30.0]) for day in (3, 17)])
    for target, sighting in (("M 44", Sighting.SEEN), ("M 3", Sighting.SUSPECTED)):
        record_observations(
            database,
            target,
            ObservationEntry(sighting=sighting, at="22:00"),
            datetime(2026, 2, 4, 23, tzinfo=UTC),
            observers=["Ines"],
            choice=NightChoice("Mill Field", date(2026, 2, 4)),
            sure=True,
        )
    yield database
    database.close()


@pytest.fixture(scope="module")
def view(planner: Database) -> ObservingSite:
    return observing_site(planner, "Mill Field")


@pytest.fixture(scope="module")
def plan(planner: Database, view: ObservingSite) -> TargetPlan:
    """Four targets of one's own list and a name that is none, with a German mount."""
    return plan_targets(planner, view, NOW, GEAR)


def seen_from(target: PlannedTarget, at: datetime) -> tuple[float, float, float]:
    """Airless altitude, azimuth, and hour angle in hours, by Skyfield."""
    ra_hours, dec_deg = J2000[target.name]
    observer = KERNEL["earth"] + MILL_FIELD
    apparent = (
        observer.at(TIMES.from_datetime(at)).observe(Star(ra_hours=ra_hours, dec_degrees=dec_deg)).apparent()
    )
    altitude, azimuth, _ = apparent.altaz()
    return altitude.degrees, azimuth.degrees, apparent.hadec()[0].hours


def sun_alt_deg(at: datetime) -> float:
    observer = KERNEL["earth"] + MILL_FIELD
    return float(observer.at(TIMES.from_datetime(at)).observe(KERNEL["sun"]).apparent().altaz()[0].degrees)


def test_the_plan_is_of_the_dark_that_is_left_of_this_night(plan: TargetPlan) -> None:
    assert (plan.site, plan.night, plan.dark, plan.mount) == (
        "Mill Field",
        date(2026, 3, 2),
        Dark.NIGHT,
        "Heron",
    )
    assert plan.dark_from_utc == NOW
    assert sun_alt_deg(plan.dark_until_utc) == pytest.approx(-18, abs=0.02)


def test_asked_at_noon_it_begins_with_the_dark(planner: Database, view: ObservingSite) -> None:
    noon = datetime(2026, 3, 2, 12, 30, tzinfo=UTC)
    found = plan_targets(planner, view, noon, EVENING)
    assert sun_alt_deg(found.dark_from_utc) == pytest.approx(-18, abs=0.02)
    assert found.targets[0].at_utc - found.dark_from_utc < timedelta(minutes=1)
    with pytest.raises(NotDark):
        plan_targets(planner, view, datetime(2026, 3, 3, 8, tzinfo=UTC), EVENING)


def test_each_target_stands_at_its_time_where_the_plan_says(plan: TargetPlan) -> None:
    """Refraction at 30 deg is 1.7' and less above; a cluster's middle is told to a minute of arc or two."""
    assert len(plan.targets) == 4
    for target in plan.targets:
        altitude, azimuth, _ = seen_from(target, target.at_utc)
        assert altitude - 0.05 < target.alt_deg < altitude + 0.09
        assert target.az_deg == pytest.approx(azimuth, abs=0.15)
        assert seen_from(target, target.transit_utc)[2] == pytest.approx(0, abs=0.02)
        assert abs(target.transit_utc - target.at_utc) < timedelta(hours=13)


def test_one_follows_the_other_after_its_minutes(planner: Database, view: ObservingSite) -> None:
    """All but M 3 are up from the start; by turns of 15 minutes."""
    found = plan_targets(planner, view, NOW, replace(EVENING, minutes_each=15.0))
    assert [target.order for target in found.targets] == [1, 2, 3, 4]
    assert [target.at_utc - NOW for target in found.targets] == [
        timedelta(minutes=15 * place) for place in range(4)
    ]
    assert all(target.from_utc <= target.at_utc <= target.until_utc for target in found.targets)


def test_the_tube_is_on_the_side_away_from_where_it_looks(plan: TargetPlan) -> None:
    """West of the meridian the tube is east of the pier; up to half an hour about it, either may be."""
    sides = {target.name: target.pier_side for target in plan.targets}
    for target in plan.targets:
        hours = seen_from(target, target.at_utc)[2]
        if abs(hours) > 0.5:
            assert sides[target.name] is (PierSide.EAST if hours > 0 else PierSide.WEST)
    assert (sides["M 35"], sides["M 3"]) == (PierSide.EAST, PierSide.WEST)
    assert plan.flips == 1


def test_below_the_pole_no_side_is_told(planner: Database, view: ObservingSite) -> None:
    """In the evening of the second of March Draco is: NGC 6543 (RA 18 h) stands 10 h or more from the meridian."""
    wish = Wish(names=["NGC 6543"], mount="Heron", above_deg=20.0)
    assert [target.pier_side for target in plan_targets(planner, view, NOW, wish).targets] == [None]


@pytest.mark.parametrize("mount", ["Bracken", "Thistle", None])
def test_a_mount_that_is_not_german_has_no_sides(
    planner: Database, view: ObservingSite, mount: str | None
) -> None:
    found = plan_targets(planner, view, NOW, replace(EVENING, mount=mount))
    assert ({target.pier_side for target in found.targets}, found.flips) == ({None}, 0)


def test_windows_end_where_the_altitude_does_to_ten_minutes(plan: TargetPlan) -> None:
    step = timedelta(minutes=10)
    for target in plan.targets:
        assert seen_from(target, target.from_utc)[0] > 29.9
        assert seen_from(target, target.until_utc)[0] > 29.9
        if target.from_utc > plan.dark_from_utc:
            assert seen_from(target, target.from_utc - step)[0] < 30
        if target.until_utc < plan.dark_until_utc:
            assert seen_from(target, target.until_utc + step)[0] < 30
        at_best = seen_from(target, target.best_utc)[0]
        assert target.best_alt_deg == pytest.approx(at_best, abs=0.09)
        assert at_best >= max(seen_from(target, target.best_utc + step * n)[0] for n in (-1, 1)) or (
            target.best_utc in (target.from_utc, target.until_utc)
        )


def test_the_sky_of_the_site_is_the_median_of_its_own_meter(plan: TargetPlan) -> None:
    """21.0, 21.4 and 20.3: by hand the mean is 20.9, and the deviations' squares are 0.01 + 0.25 + 0.36 = 0.62."""
    assert plan.sky_meter is not None
    assert (plan.sky_meter.median, plan.sky_meter.readings) == (21.0, 3)
    assert plan.sky_meter.sd == pytest.approx((0.62 / 2) ** 0.5)


def test_one_reading_has_no_spread_and_none_is_no_sky(planner: Database) -> None:
    ridge = observing_site(planner, "Kestrel Ridge")
    sky = plan_targets(planner, ridge, NOW, Wish(names=["Canopus"])).sky_meter
    assert sky is not None
    assert (sky.median, sky.sd, sky.readings) == (22.9, None, 1)


def test_without_a_reading_nothing_is_said_of_contrast(sqlite_club: Database) -> None:
    found = plan_targets(sqlite_club, observing_site(sqlite_club, "Mill Field"), NOW, EVENING)
    assert found.sky_meter is None
    assert {target.contrast_mag for target in found.targets} == {None}
    assert not any("fainter than the sky" in left.why for left in found.left_out)


def test_a_galaxys_surface_is_worked_out_by_hand_and_a_clusters_is_not(plan: TargetPlan) -> None:
    by_name = {target.name: target for target in plan.targets}
    galaxy = by_name["M 81"]
    major, minor = galaxy.size_arcmin
    assert galaxy.magnitude is not None
    assert major is not None
    assert minor is not None
    surface = galaxy.magnitude + 2.5 * log10(pi / 4 * major * minor * 3600)
    assert galaxy.surface_brightness == pytest.approx(surface)
    sky = mag_per_arcsec2(dark_sky_nl(21.0, 90 - galaxy.alt_deg)) - galaxy.moonlight_mag
    assert galaxy.contrast_mag == pytest.approx(float(sky) - surface, abs=0.001)
    assert galaxy.moonlight_mag > 2  # a full Moon
    assert galaxy.fills_field == pytest.approx(major / FIELD)
    assert (by_name["M 44"].surface_brightness, by_name["M 44"].contrast_mag) == (None, None)
    assert {target.sun_deg for target in plan.targets} == {None}


def test_field_and_limit_follow_from_the_equipment(
    plan: TargetPlan, planner: Database, view: ObservingSite
) -> None:
    assert plan.field_arcmin == pytest.approx(FIELD, abs=0.01)
    assert plan.faintest_star_mag == pytest.approx(2 + 5 * log10(212))
    by_stop = plan_targets(planner, view, NOW, replace(GEAR, eyepiece="Stop 20"))
    assert by_stop.field_arcmin == pytest.approx(2 * degrees(atan(20 / 2000)) * 60, abs=0.01)


@pytest.mark.parametrize("lacking", ["tube", "eyepiece"])
def test_without_tube_or_eyepiece_there_is_no_field_and_no_chance(
    planner: Database, view: ObservingSite, lacking: str
) -> None:
    found = plan_targets(planner, view, NOW, replace(GEAR, **{lacking: None}))  # type: ignore[arg-type]
    assert (found.field_arcmin, found.chance_in_field) == (None, None)
    assert {target.fills_field for target in found.targets} == {None}
    assert (found.faintest_star_mag is None) is (lacking == "tube")


def test_the_chance_is_that_of_the_mounts_landings_in_this_field(
    plan: TargetPlan, planner: Database, view: ObservingSite
) -> None:
    """Both set-ups landed alike: the mean square of 10', 20', 30' is 1400/3; Rayleigh: 1 - exp(-(d/2)^2 / it)."""
    chance = plan.chance_in_field
    assert chance is not None
    assert chance.inside.value == pytest.approx(
        1 - 2.718281828 ** (-((FIELD / 2) ** 2) / (1400 / 3)), rel=1e-3
    )
    assert (chance.inside.count, chance.arrivals) == (2, 6)
    assert plan_targets(planner, view, NOW, replace(GEAR, mount="Bracken")).chance_in_field is None
    assert plan_targets(planner, view, NOW, replace(GEAR, mount=None)).chance_in_field is None


def reasons(plan: TargetPlan) -> dict[str, int]:
    return {left.why: left.count for left in plan.left_out}


def names(plan: TargetPlan) -> set[str]:
    return {target.name for target in plan.targets}


def test_a_name_that_is_none_is_told_first_and_counted(plan: TargetPlan) -> None:
    assert reasons(plan) == {"unknown here, or wandering among the stars: Nowhere at all": 1}
    assert plan.considered == 5


def test_what_never_stands_high_enough_is_left_out(planner: Database, view: ObservingSite) -> None:
    """At 52.2 N M 35 culminates at 62 deg, M 44 at 57.5, M 3 at 66, and M 81 at 90 + 52.2 - 69.1 = 73 in the north."""
    found = plan_targets(planner, view, NOW, replace(EVENING, above_deg=63.0, minutes_each=60.0))
    until = found.dark_until_utc.astimezone(view.zone) + timedelta(seconds=30)  # to the nearest minute
    assert names(found) == {"M 81", "M 3"}
    assert reasons(found)[f"never above 63° in the dark from 21:40 to {until:%H:%M}"] == 2


def test_what_rises_after_all_is_done_is_left_out(planner: Database, view: ObservingSite) -> None:
    """M 3 passes 55 deg at about 00:40, 2.3 hours before the meridian: after 4 times 10 minutes, before 4 times 60."""
    wish = replace(EVENING, above_deg=55.0, most=4)
    quick = plan_targets(planner, view, NOW, wish)
    assert reasons(quick)["up only after 22:20, when 4 targets would be done"] == 1
    assert "M 3" not in names(quick)
    slow = plan_targets(planner, view, NOW, replace(wish, minutes_each=60.0))
    assert "M 3" in names(slow)
    assert not any("up only after" in why for why in reasons(slow))


def test_those_beyond_the_number_asked_for_are_behind_one_of_each_kind(
    planner: Database, view: ObservingSite
) -> None:
    """M 44 is of magnitude 3, M 35 of 5, M 3 of 6: the brighter open cluster and the globular one come before M 35."""
    found = plan_targets(planner, view, NOW, replace(EVENING, most=2, minutes_each=240.0))
    assert names(found) == {"M 44", "M 3"}
    assert reasons(found)["beyond the 2 asked for: the surest of each kind come first"] == 2


def test_what_finds_no_time_is_counted_with_the_minutes(planner: Database, view: ObservingSite) -> None:
    found = plan_targets(planner, view, NOW, replace(EVENING, minutes_each=600.0))
    assert len(found.targets) == 1
    assert reasons(found)["no time left, at 600 min each"] == 3


def test_what_a_member_saw_is_left_out_and_what_was_suspected_is_not(
    planner: Database, view: ObservingSite
) -> None:
    found = plan_targets(planner, view, NOW, replace(EVENING, not_seen_by="ines"))
    assert names(found) == {"M 81", "M 3", "M 35"}
    assert reasons(found)["already seen by Ines"] == 1
    bram = plan_targets(planner, view, NOW, replace(EVENING, not_seen_by="Bram Ostler"))
    assert "M 44" in names(bram)


def test_other_types_are_left_out_and_a_star_that_was_named_is_not(
    planner: Database, view: ObservingSite
) -> None:
    wish = replace(EVENING, names=["M 81", "M 44", "Regulus"])
    assert names(plan_targets(planner, view, NOW, wish)) == {"M 81", "M 44", "Regulus"}
    galaxies = plan_targets(planner, view, NOW, replace(wish, types=["galaxy"]))
    assert (names(galaxies), reasons(galaxies)) == ({"M 81"}, {"of another type": 2})
    assert galaxies.considered == 3


def test_where_all_is_left_out_there_is_an_empty_plan(planner: Database, view: ObservingSite) -> None:
    found = plan_targets(planner, view, NOW, replace(GEAR, names=["Canopus"]))
    assert (found.targets, found.flips, found.considered) == ([], 0, 1)
    assert list(reasons(found).values()) == [1]


def test_of_the_whole_catalogue_the_stars_are_left_out_and_the_planets_are_in(
    planner: Database, view: ObservingSite
) -> None:
    found = plan_targets(planner, view, NOW, Wish(tube="Long tube", most=12, wanderers=True))
    assert found.considered > 13_000  # the New General and Index Catalogues have 13,226 entries
    assert "single and double stars and unknown things of the old catalogues" in reasons(found)
    assert "fainter than magnitude 13.6, the faintest star that 212 mm shows" in reasons(found)
    assert "drowned by moonlight; without the Moon 212 mm of aperture would be enough" in reasons(found)
    assert "too faint against the sky for 212 mm of aperture" in reasons(found)
    jupiter = next(target for target in found.targets if target.name == "Jupiter")
    observer = KERNEL["earth"].at(TIMES.from_datetime(jupiter.at_utc))
    places = [observer.observe(KERNEL[name]) for name in ("sun", "jupiter barycenter")]
    assert jupiter.sun_deg == pytest.approx(places[0].separation_from(places[1]).degrees, abs=0.05)
    assert sum(reasons(found).values()) + len(found.targets) == found.considered


def test_the_moon_is_where_it_stands_in_the_middle_of_the_dark(
    planner: Database, view: ObservingSite
) -> None:
    """Full, it passes the meridian about midnight; it moves by 13 deg a day, so in eleven hours by 0.4 h."""
    found = plan_targets(planner, view, NOW, Wish(types=["Moon"], wanderers=True))
    (moon,) = found.targets
    at = TIMES.from_datetime(moon.transit_utc)
    hour_angle = (KERNEL["earth"] + MILL_FIELD).at(at).observe(KERNEL["moon"]).apparent().hadec()[0]
    assert hour_angle.hours == pytest.approx(0, abs=0.15)


@pytest.mark.parametrize(
    ("now", "up"),
    [
        (NOW, True),  # full on the morning of 3 March 2026, when it was eclipsed
        (datetime(2026, 3, 18, 21, 40, tzinfo=UTC), False),  # new on 19 March 2026
    ],
)
def test_the_moon_is_up_when_it_is_full_and_down_when_it_is_new(
    planner: Database, view: ObservingSite, now: datetime, up: bool
) -> None:
    for target in plan_targets(planner, view, now, EVENING).targets:
        assert target.moon_up is up
        at = TIMES.from_datetime(target.best_utc)
        observer = (KERNEL["earth"] + MILL_FIELD).at(at)
        ra_hours, dec_deg = J2000[target.name]
        star = observer.observe(Star(ra_hours=ra_hours, dec_degrees=dec_deg)).apparent()
        moon = observer.observe(KERNEL["moon"]).apparent()
        assert target.moon_deg == pytest.approx(star.separation_from(moon).degrees, abs=0.3)


@pytest.mark.parametrize(
    ("wish", "error"),
    [
        (replace(EVENING, above_deg=95.0), OutOfRange),
        (replace(EVENING, minutes_each=0.5), OutOfRange),
        (replace(EVENING, minutes_each=601.0), OutOfRange),
        (replace(EVENING, tube="Nothing"), UnknownName),
        (replace(EVENING, not_seen_by="Nobody"), UnknownName),
        (Wish(listed="mesier"), UnknownName),
    ],
)
def test_what_cannot_be_planned_is_refused(
    planner: Database, view: ObservingSite, wish: Wish, error: type[Exception]
) -> None:
    with pytest.raises(error):
        plan_targets(planner, view, NOW, wish)


def test_the_few_that_are_not_seen_are_named_with_the_reason(planner: Database, view: ObservingSite) -> None:
    """Under a full Moon M 101 is drowned: 29' wide and of magnitude 7.9."""
    wish = Wish(names=["M 101", "M 44"], tube="Long tube", above_deg=20.0)
    drowned = "drowned by moonlight; without the Moon 212 mm of aperture would be enough"
    assert reasons(plan_targets(planner, view, NOW, wish)) == {f"{drowned}: M 101": 1}
    many = reasons(plan_targets(planner, view, NOW, replace(wish, names=None)))
    assert many[drowned] > 5
