"""Sync stars and pointing runs planned from records: what is known of the mount, limits, and the sky that is there."""

from dataclasses import replace
from datetime import UTC, date, datetime
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from obslog.club.aligning.star_candidates import limits_of
from obslog.club.aligning.sync_star_plan import StarPlan, plan_pointing_run, plan_stars
from obslog.club.performance.placed_arrivals import MountTypeUnknown
from obslog.club.register import named_records
from obslog.club.register.observing_site import ObservingSite, observing_site
from obslog.club.sky.where import where_is
from obslog.club.upkeep.services import add_service
from obslog.errors import ObslogError, OutOfRange, UnknownName
from obslog.horizon import read_horizon
from obslog.pointing.planning.observable import ObservableLimits
from obslog.records.database import Database
from obslog.sky.names.lookup import UnknownInSky
from obslog.values import Place
from obslog.vocabulary.mounts import PierSide
from tests.club.performance.test_mount_fit import NOW, take_in

EVENING, NOON = datetime(2026, 3, 2, 20, 40, tzinfo=UTC), datetime(2026, 6, 21, 12, tzinfo=UTC)
USUAL = limits_of(20.0, 85.0, 3.0)


def plan(
    database: Database,
    mount: str,
    view: ObservingSite,
    syncs: int = 2,
    at: datetime = EVENING,
    limits: ObservableLimits = USUAL,
) -> StarPlan:
    return plan_stars(database, mount, None, view, at, syncs, limits)


def test_the_stars_stand_where_the_sky_has_them_and_inside_the_limits(club: Database) -> None:
    view = observing_site(club, "Mill Field")
    found = plan(club, "heron", view, 4)
    assert (found.mount, [star.order for star in found.stars]) == ("Heron", [1, 2, 3, 4])
    assert len({star.name for star in found.stars}) == 4
    for star in found.stars:
        there = where_is(view, star.name, EVENING)
        assert (star.alt_deg, star.az_deg) == pytest.approx((there.alt_deg, there.az_deg), abs=1e-6)
        assert 20 <= there.airless_alt_deg <= 85
        assert star.magnitude <= 3.0
        ordinary = PierSide.WEST if there.hour_angle_hours < 0 else PierSide.EAST
        assert star.pier_side is (ordinary if abs(there.hour_angle_hours) < 6 else None)
    assert len(found.after_each) == 4
    assert found.expected_landing_arcmin == found.after_each[-1]
    assert found.expected_landing_arcmin.half < found.expected_landing_arcmin.ninety_five_percent
    assert found.caution is None


def test_more_than_six_hours_from_the_meridian_no_side_is_told(club: Database) -> None:
    """At 69 degrees north such stars are high: the tube is then seen on the other side of the pier."""
    view = ObservingSite("Fjord", Place(69.0, 19.0), ZoneInfo("Europe/Oslo"))
    at = datetime(2026, 12, 21, 17, tzinfo=UTC)
    run = plan_pointing_run(club, "Heron", view, at, USUAL)
    hours = [where_is(view, star.name, at).hour_angle_hours for star in run.stars]
    assert max(abs(one) for one in hours) > 8
    for star, hour in zip(run.stars, hours, strict=True):
        ordinary = PierSide.WEST if hour < 0 else PierSide.EAST
        assert star.pier_side is (ordinary if abs(hour) < 6 else None)


def test_mounts_without_a_pier_have_no_side(club: Database) -> None:
    view = observing_site(club, "Mill Field")
    for mount in ("Bracken", "Thistle"):
        assert [star.pier_side for star in plan(club, mount, view).stars] == [None, None]


def test_a_southern_sky_has_southern_stars(club: Database) -> None:
    view = observing_site(club, "Kestrel Ridge")
    names = {star.name for star in plan(club, "Heron", view, 5).stars}
    assert names
    for name in names:
        assert where_is(view, name, EVENING).alt_deg >= 20


def test_in_the_far_south_stars_are_not_all_in_the_west(club: Database) -> None:
    named_records.add(club, "mount", "Weka", {"mount_type": "german", "controller": "shift"}, NOW)
    view = ObservingSite("Paddock", Place(-43.0, 172.6), ZoneInfo("Pacific/Auckland"))
    at = datetime(2026, 11, 15, 8, 30, tzinfo=UTC)
    found = plan(club, "Weka", view, 3, at)
    hours = [where_is(view, star.name, at).hour_angle_hours for star in found.stars]
    assert {star.pier_side for star in found.stars} == {PierSide.EAST, PierSide.WEST}
    assert min(hours) < -1
    assert max(hours) > 1


def test_a_hidden_part_of_the_sky_is_kept_clear_of(club: Database) -> None:
    view = observing_site(club, "Mill Field")
    wall = limits_of(20.0, 85.0, 3.0, read_horizon("0:0 80:0 90:80 180:80 190:0"))
    for star in plan(club, "Heron", view, 5, limits=wall).stars:
        assert star.alt_deg > 80 or not 90 <= star.az_deg <= 180


def test_by_day_the_plan_carries_the_caution_and_stays_off_the_sun(club: Database) -> None:
    view = observing_site(club, "Mill Field")
    found = plan(club, "Heron", view, 2, NOON)
    assert (found.caution or "").startswith("The Sun is up")
    assert (plan_pointing_run(club, "Heron", view, NOON, USUAL).caution or "").startswith("The Sun is up")


def test_without_a_record_the_usual_errors_are_taken_and_that_is_said(club: Database) -> None:
    found = plan(club, "Heron", observing_site(club, "Mill Field"))
    assert found.basis[0] == "no set-up of it is on record: errors of the usual size are assumed"


def test_what_is_known_of_a_mount_makes_the_expected_landing_smaller(sqlite_database: Database) -> None:
    take_in(sqlite_database, "german_one_sync")
    view = observing_site(sqlite_database, "Tarn")
    known = plan(sqlite_database, "Heron", view)
    assert known.tube == "Long tube"
    assert known.basis[0].startswith("cone error, squareness and sag from its own 8 set-ups")
    assert known.basis[1].startswith("over 8 set-ups its polar axis stood")
    named_records.add(
        sqlite_database, "mount", "Stranger", {"mount_type": "german", "controller": "shift"}, NOW
    )
    stranger = plan(sqlite_database, "Stranger", view)
    assert known.expected_landing_arcmin.half < stranger.expected_landing_arcmin.half
    # After a mechanical service its mechanics are as unknown as a stranger's, its habit of polar axis is not.
    add_service(sqlite_database, "mount", "Heron", "rebuilt", NOW, on=date(2026, 5, 1), mechanical=True)
    rebuilt = plan(sqlite_database, "Heron", view)
    assert rebuilt.basis[0].startswith("serviced on 2026-05-01 and not set up since")
    assert known.expected_landing_arcmin.half < rebuilt.expected_landing_arcmin.half
    assert rebuilt.expected_landing_arcmin.half < stranger.expected_landing_arcmin.half


def test_a_larger_field_is_met_more_often(club: Database) -> None:
    view = observing_site(club, "Mill Field")
    chances = [
        plan_stars(club, "Heron", None, view, EVENING, 1, USUAL, field_arcmin=field).stars
        and plan_stars(
            club, "Heron", None, view, EVENING, 1, USUAL, field_arcmin=field
        ).expected_landing_arcmin.chance_in_field
        for field in (20.0, 60.0, 180.0)
    ]
    assert all(one < other for one, other in pairwise(chances))  # type: ignore[operator]
    half = plan(club, "Heron", view, 1).expected_landing_arcmin
    assert half.chance_in_field is None
    twice = plan_stars(club, "Heron", None, view, EVENING, 1, USUAL, field_arcmin=2 * half.half)
    assert twice.expected_landing_arcmin.chance_in_field == pytest.approx(0.5, abs=0.02)


def test_targets_may_be_named_and_one_that_is_down_is_told(club: Database) -> None:
    view = observing_site(club, "Mill Field")
    near = plan_stars(club, "Heron", None, view, EVENING, 1, USUAL, targets=["M 44"])
    anywhere = plan(club, "Heron", view, 1)
    assert near.expected_landing_arcmin.half < anywhere.expected_landing_arcmin.half
    down = plan_stars(club, "Heron", None, view, EVENING, 1, USUAL, targets=["M 44", "Achernar"])
    assert down.basis[-1] == "below the horizon then: Achernar"
    with pytest.raises(UnknownInSky):
        plan_stars(club, "Heron", None, view, EVENING, 1, USUAL, targets=["M 4444"])


def test_a_run_is_one_sync_and_eight_to_twelve_checks_that_tell_the_mount(club: Database) -> None:
    view = observing_site(club, "Mill Field")
    run = plan_pointing_run(club, "heron", view, EVENING, USUAL)
    assert run.mount == "Heron"
    assert 9 <= len(run.stars) <= 13
    assert set(run.sd_arcmin) == {"cone", "squareness", "sag"}
    assert run.determines
    # Half the prior's sd is what `determined` means: cone 20', squareness 10', sag 3'.
    for term, prior in (("cone", 20.0), ("squareness", 10.0), ("sag", 3.0)):
        assert (run.sd_arcmin[term] < prior / 2) == (term in run.determines)
    assert {PierSide.EAST, PierSide.WEST} <= {star.pier_side for star in run.stars}


def test_what_cannot_be_planned_is_refused(club: Database, now: datetime) -> None:
    view = observing_site(club, "Mill Field")
    named_records.add(club, "mount", "Riddle", {}, now)
    with pytest.raises(MountTypeUnknown):
        plan(club, "Riddle", view)
    with pytest.raises(UnknownName):
        plan(club, "Herron", view)
    with pytest.raises(UnknownName):
        plan_stars(club, "Heron", "No tube", view, EVENING, 2, USUAL)
    for syncs in (0, 10):
        with pytest.raises(OutOfRange):
            plan(club, "Heron", view, syncs)
    for field in (0.0, -5.0, float("nan"), 10801.0):
        with pytest.raises(OutOfRange):
            plan_stars(club, "Heron", None, view, EVENING, 2, USUAL, field_arcmin=field)
    with pytest.raises(ObslogError, match="only 0 satisfy"):
        plan(club, "Heron", view, limits=replace(USUAL, faintest_magnitude=-5.0))


@pytest.mark.parametrize("numbers", [(80.0, 20.0, 3.0), (np.nan, 85.0, 3.0), (20.0, np.nan, 3.0), (20.0, 85.0, np.nan),
                                     (-5.0, 85.0, 3.0), (20.0, 95.0, 3.0)])  # fmt: skip
def test_limits_that_cannot_be_are_refused(numbers: tuple[float, float, float]) -> None:
    with pytest.raises(OutOfRange):
        limits_of(*numbers)
