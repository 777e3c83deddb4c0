"""A site on record as a place to look from: with its horizon, at sea level and by UTC where nothing else is known.

Mill Field keeps London's time: UTC in winter, an hour ahead in summer. A night runs from noon to noon.
"""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from obslog.club.register.named_records import add
from obslog.club.register.observing_site import (
    SiteWithoutPlace,
    SiteWithoutZone,
    instant_at,
    instant_at_site,
    observing_site,
    place_of,
    view_from,
    zone_or_none,
    zone_or_utc,
)
from obslog.errors import UnknownName
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Site
from obslog.values import Place

SUMMER_EVENING = datetime(2026, 7, 1, 21, 0, tzinfo=UTC)  # 22:00 by the clocks of London


def test_what_hides_the_sky_comes_with_the_site() -> None:
    view = view_from(
        Site(
            name="Tarn",
            name_key="Tarn",
            lat_deg=54.0,
            lon_deg=-3.0,
            zone="Europe/London",
            horizon="0:10,180:20",
        )
    )
    assert view is not None
    assert view.horizon == ((0.0, 10.0), (180.0, 20.0))
    assert (view.site, view.zone) == ("Tarn", ZoneInfo("Europe/London"))


def test_what_is_not_on_record_is_sea_level_and_utc_but_never_a_place() -> None:
    bare = Site(name="Moor", name_key="Moor", lat_deg=0.0, lon_deg=0.0)
    assert place_of(bare) == Place(0.0, 0.0, 0.0)
    view = view_from(bare)
    assert view is not None
    assert (view.zone, view.horizon, zone_or_none(bare)) == (ZoneInfo("UTC"), (), None)
    for half in (
        Site(name="Half", name_key="Half", lat_deg=50.0),
        Site(name="Half", name_key="Half", lon_deg=5.0),
        Site(name="None", name_key="None"),
    ):
        assert place_of(half) is None
        assert view_from(half) is None
    assert zone_or_utc("Africa/Johannesburg") == ZoneInfo("Africa/Johannesburg")


def test_a_site_is_looked_from_as_it_is_on_record(club: Database) -> None:
    view = observing_site(club, "mill field")
    assert (view.site, view.place.lat_deg, view.place.lon_deg, view.place.elevation_m) == (
        "Mill Field",
        52.2,
        0.12,
        20.0,
    )
    assert observing_site(club, "Kestrel Ridge").place.elevation_m == 0.0  # not on record


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


def test_a_checklist_is_for_a_time_of_this_evening_by_the_sites_clock(club: Database) -> None:
    morning = datetime(2026, 7, 1, 9, 0, tzinfo=UTC)
    assert instant_at_site(club, "Mill Field", "22:15", morning, planning=True) == datetime(
        2026, 7, 1, 21, 15, tzinfo=UTC
    )
    with pytest.raises(UnknownName):
        instant_at_site(club, "Mill Feld", "22:15", morning, planning=True)


def test_a_full_instant_or_none_needs_no_zone_and_a_time_of_day_does(club: Database, now: datetime) -> None:
    add(club, "site", "New moor", {}, now)
    assert instant_at_site(club, "New moor", None, now) == now
    full = datetime(2026, 3, 2, 21, 15, tzinfo=UTC)
    assert instant_at_site(club, "New moor", "2026-03-02T21:15Z", now) == full
    with pytest.raises(SiteWithoutZone):
        instant_at_site(club, "New moor", "21:15", now)
