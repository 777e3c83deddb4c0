"""A site to look from: what it needs on record, and what a time said there means.

Mill Field keeps London's time: UTC in winter, an hour ahead in summer. A night runs from noon to noon.
"""

from datetime import UTC, date, datetime

import pytest

from obslog.club.register.named_records import add, edit
from obslog.club.register.observing_site import (
    SiteWithoutPlace,
    SiteWithoutZone,
    evening_at,
    instant_at,
    observing_site,
    ticked_at,
)
from obslog.errors import UnknownName
from obslog.records.opening import Database

SUMMER_EVENING = datetime(2026, 7, 1, 21, 0, tzinfo=UTC)  # 22:00 by the clocks of London


def test_a_site_is_looked_from_as_it_is_on_record(club: Database) -> None:
    view = observing_site(club, "mill field")
    assert (view.site, view.place.lat_deg, view.place.lon_deg, view.place.elevation_m) == (
        "Mill Field",
        52.2,
        0.12,
        20.0,
    )
    assert observing_site(club, "Kestrel Ridge").place.elevation_m == 0.0  # not on record


def test_a_place_on_the_equator_and_the_meridian_is_a_place(club: Database, now: datetime) -> None:
    add(club, "site", "Raft", {"lat_deg": 0.0, "lon_deg": 0.0, "zone": "UTC"}, now)
    assert observing_site(club, "Raft").place.lat_deg == 0.0


@pytest.mark.parametrize(
    ("values", "failure"),
    [
        ({"lat_deg": 50.0, "zone": "UTC"}, SiteWithoutPlace),
        ({"lon_deg": 0.0, "zone": "UTC"}, SiteWithoutPlace),
        ({"lat_deg": 50.0, "lon_deg": 0.0}, SiteWithoutZone),
    ],
)
def test_what_is_missing_is_named_with_how_to_tell_it(
    club: Database, now: datetime, values: dict[str, object], failure: type[Exception]
) -> None:
    add(club, "site", "New moor", values, now)
    with pytest.raises(failure, match="New moor"):
        observing_site(club, "New moor")


def test_the_night_begins_at_noon_by_the_sites_clock(club: Database) -> None:
    view = observing_site(club, "Mill Field")
    assert view.night_at(datetime(2026, 7, 1, 10, 59, tzinfo=UTC)) == date(2026, 6, 30)
    assert view.night_at(datetime(2026, 7, 1, 11, 0, tzinfo=UTC)) == date(2026, 7, 1)
    assert view.noon_before(datetime(2026, 7, 2, 3, 0, tzinfo=UTC)) == datetime(2026, 7, 1, 11, tzinfo=UTC)
    assert view.noon_before(datetime(2026, 3, 2, 21, 40, tzinfo=UTC)) == datetime(2026, 3, 2, 12, tzinfo=UTC)


def test_a_time_said_at_a_site_is_by_its_clock(club: Database) -> None:
    view = observing_site(club, "Mill Field")
    assert instant_at(view, "21:30", SUMMER_EVENING) == datetime(2026, 7, 1, 20, 30, tzinfo=UTC)
    assert instant_at(view, None, SUMMER_EVENING) == SUMMER_EVENING


def test_a_tick_is_now_or_a_time_of_the_night_that_now_is_in(club: Database) -> None:
    assert ticked_at(club, "Mill Field", None, SUMMER_EVENING) == SUMMER_EVENING
    assert ticked_at(club, "Mill Field", "21:30", SUMMER_EVENING) == datetime(2026, 7, 1, 20, 30, tzinfo=UTC)
    # 23:30 said at half past one in the morning is two hours ago, in the night that began the day before.
    small_hours = datetime(2026, 7, 2, 0, 30, tzinfo=UTC)
    assert ticked_at(club, "Mill Field", "23:30", small_hours) == datetime(2026, 7, 1, 22, 30, tzinfo=UTC)


def test_a_tick_in_full_or_now_needs_no_zone(club: Database, now: datetime) -> None:
    add(club, "site", "New moor", {}, now)
    assert ticked_at(club, "New moor", None, now) == now
    assert ticked_at(club, "New moor", "2026-03-02T21:15Z", now) == datetime(2026, 3, 2, 21, 15, tzinfo=UTC)
    with pytest.raises(SiteWithoutZone):
        ticked_at(club, "New moor", "21:15", now)


def test_a_checklist_is_for_a_time_of_this_evening_by_the_sites_clock(club: Database) -> None:
    morning = datetime(2026, 7, 1, 9, 0, tzinfo=UTC)
    assert evening_at(club, "Mill Field", "22:15", morning) == datetime(2026, 7, 1, 21, 15, tzinfo=UTC)
    with pytest.raises(UnknownName):
        evening_at(club, "Mill Feld", "22:15", morning)


def test_a_horizon_on_record_hides_the_sky_of_the_site(club: Database, now: datetime) -> None:
    edit(club, "site", "Mill Field", {"horizon": "0:10 90:20 180:5 270:5"}, now)
    assert len(observing_site(club, "Mill Field").horizon) == 4
    assert observing_site(club, "Kestrel Ridge").horizon == ()
