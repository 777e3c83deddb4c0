"""A site on record as a place to look from: with its horizon, at sea level and by UTC where nothing else is known.

Mill Field keeps London's time: UTC in winter, an hour ahead in summer. A night runs from noon to noon.
"""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from obslog.club.register.named_records import add
from obslog.club.register.observing_site import (
    ObservingSite,
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
from obslog.errors import OutOfRange, UnknownName, WrongInput
from obslog.grammar.typed_times import AmbiguousTime, ImpossibleTime, UnreadableTime
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Site
from obslog.values import Place

SUMMER_EVENING = datetime(2026, 7, 1, 21, 0, tzinfo=UTC)  # 22:00 by the clocks of London
LONDON = ObservingSite("Mill Field", Place(52.2, 0.12, 20.0), ZoneInfo("Europe/London"))
KAROO = ObservingSite("Kestrel Ridge", Place(-32.4, 22.3, 1700.0), ZoneInfo("Africa/Johannesburg"))
NINE_IN_THE_MORNING = datetime(2026, 3, 3, 9, tzinfo=UTC)
AN_HOUR_AFTER_MIDNIGHT = datetime(2026, 3, 3, 1, tzinfo=UTC)


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


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


def test_a_site_on_record_is_looked_from(club: Database) -> None:
    view = observing_site(club, "mill field")
    assert view == LONDON
    with pytest.raises(UnknownName):
        observing_site(club, "Mill Feld")


def test_a_site_without_place_or_zone_is_told_with_what_to_type(club: Database, now: datetime) -> None:
    add(club, "site", "Over there", {"zone": "Europe/London"}, now)
    with pytest.raises(SiteWithoutPlace) as caught:
        observing_site(club, "over there")
    assert 'obslog site edit "Over there" --lat DEG --lon DEG' in caught.value.hint
    add(club, "site", "No zone", {"lat_deg": 50.0, "lon_deg": 1.0}, now)
    with pytest.raises(SiteWithoutZone):
        observing_site(club, "No zone")


def test_a_site_on_the_equator_at_greenwich_has_a_place(club: Database, now: datetime) -> None:
    add(club, "site", "Null", {"lat_deg": 0.0, "lon_deg": 0.0, "zone": "UTC"}, now)
    assert observing_site(club, "Null").place == Place(0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("text", "now", "planning", "meant"),
    [
        (None, NINE_IN_THE_MORNING, False, "2026-03-03T09:00"),
        (
            None,
            NINE_IN_THE_MORNING,
            True,
            "2026-03-03T21:00",
        ),  # a plan made in the morning is for the evening
        (None, AN_HOUR_AFTER_MIDNIGHT, True, "2026-03-03T01:00"),
        ("21:40", NINE_IN_THE_MORNING, False, "2026-03-02T21:40"),  # looking back: last night
        ("21:40", NINE_IN_THE_MORNING, True, "2026-03-03T21:40"),
        ("02:10", NINE_IN_THE_MORNING, True, "2026-03-04T02:10"),
        ("02:10", AN_HOUR_AFTER_MIDNIGHT, True, "2026-03-03T02:10"),  # still the night that began yesterday
        ("21:40", AN_HOUR_AFTER_MIDNIGHT, True, "2026-03-02T21:40"),
        ("20:40Z", NINE_IN_THE_MORNING, True, "2026-03-03T20:40"),
        ("20:40 UTC", NINE_IN_THE_MORNING, True, "2026-03-03T20:40"),
        ("2025-12-01T03:00:00Z", NINE_IN_THE_MORNING, False, "2025-12-01T03:00"),
        ("2025-12-01 03:00Z", NINE_IN_THE_MORNING, False, "2025-12-01T03:00"),
        ("2025-12-01T03:00:00+02:00", NINE_IN_THE_MORNING, True, "2025-12-01T01:00"),
        ("20251201T0300Z", NINE_IN_THE_MORNING, True, "2025-12-01T03:00"),
    ],
)
def test_the_instant_that_is_meant(text: str | None, now: datetime, planning: bool, meant: str) -> None:
    assert instant_at(LONDON, text, now, planning=planning) == utc(meant)


def test_a_clock_is_the_sites_own() -> None:
    assert instant_at(KAROO, "21:40", utc("2026-03-02T22:00")) == utc("2026-03-02T19:40")  # UTC + 2 h


@pytest.mark.parametrize(
    ("text", "failure"),
    [
        ("25:00", UnreadableTime), ("", UnreadableTime), ("soon", UnreadableTime), ("2026-03-02", UnreadableTime),
        ("2026-13-02T21:40Z", UnreadableTime), ("1700-01-01T00:00Z", OutOfRange),
    ],
)  # fmt: skip
def test_what_is_no_time_is_refused(text: str, failure: type[WrongInput]) -> None:
    with pytest.raises(failure):
        instant_at(LONDON, text, NINE_IN_THE_MORNING)


def test_a_time_that_came_twice_or_never_is_refused() -> None:
    with pytest.raises(AmbiguousTime):  # summer time ended on 25 October 2026 at 01:00 UTC
        instant_at(LONDON, "01:30", utc("2026-10-24T20:00"))
    with pytest.raises(ImpossibleTime):  # and began on 29 March 2026 at 01:00 UTC
        instant_at(LONDON, "01:30", utc("2026-03-28T20:00"))
