"""The sky from a site on record: which night and instant are meant, and where the solar caution stands."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest
from numpy.testing import assert_allclose

from obslog.club.register import named_records
from obslog.club.register.observing_site import (
    ObservingSite,
    SiteWithoutPlace,
    SiteWithoutZone,
    instant_at,
    observing_site,
)
from obslog.club.targets.sky_tonight import pole_now, sun_and_moon, when_is, where_is
from obslog.errors import OutOfRange, UnknownName, WrongInput
from obslog.records.opening import Database
from obslog.sky.names.lookup import UnknownInSky, find_in_sky
from obslog.sky.names.search import search_sky
from obslog.times import AmbiguousTime, ImpossibleTime, UnreadableTime
from obslog.values import Place

LONDON = ObservingSite("Mill Field", Place(52.2, 0.12, 20.0), ZoneInfo("Europe/London"))
KAROO = ObservingSite("Kestrel Ridge", Place(-32.4, 22.3, 1700.0), ZoneInfo("Africa/Johannesburg"))
FAR_NORTH = ObservingSite("Fjord's End", Place(78.22, 15.65, 10.0), ZoneInfo("Arctic/Longyearbyen"))
NINE_IN_THE_MORNING = datetime(2026, 3, 3, 9, tzinfo=UTC)
AN_HOUR_AFTER_MIDNIGHT = datetime(2026, 3, 3, 1, tzinfo=UTC)


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def test_a_site_on_record_is_looked_from(club: Database) -> None:
    view = observing_site(club, "mill field")
    assert view == LONDON
    with pytest.raises(UnknownName):
        observing_site(club, "Mill Feld")


def test_a_site_without_place_or_zone_is_told_with_what_to_type(club: Database, now: datetime) -> None:
    named_records.add(club, "site", "Over there", {"zone": "Europe/London"}, now)
    with pytest.raises(SiteWithoutPlace) as caught:
        observing_site(club, "over there")
    assert 'obslog site edit "Over there" --lat DEG --lon DEG' in caught.value.hint
    named_records.add(club, "site", "No zone", {"lat_deg": 50.0, "lon_deg": 1.0}, now)
    with pytest.raises(SiteWithoutZone):
        observing_site(club, "No zone")


def test_a_site_on_the_equator_at_greenwich_has_a_place(club: Database, now: datetime) -> None:
    named_records.add(club, "site", "Null", {"lat_deg": 0.0, "lon_deg": 0.0, "zone": "UTC"}, now)
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


def test_a_place_is_told_under_its_proper_name() -> None:
    # Azimuth and altitude of Sirius from the other hemisphere: due north at its upper transit.
    seen = when_is(KAROO, "alf CMa", utc("2026-03-02T18:00"), year=False)
    (transit,) = seen.transits_utc
    there = where_is(KAROO, "sirius", transit)
    assert there.name == seen.name == "Sirius"
    assert min(there.az_deg, 360 - there.az_deg) < 0.05
    # Declination of date -16.75 (J2000 -16.716, Hipparcos): 90 - (32.4 - 16.75) degrees high.
    assert_allclose(there.airless_alt_deg, 90 - (32.4 - 16.75), atol=0.03)
    assert_allclose(there.hour_angle_hours, 0, atol=0.001)
    assert there.caution is None


def test_the_night_is_that_of_its_evening_after_midnight_too() -> None:
    for instant in (utc("2026-03-02T23:00"), AN_HOUR_AFTER_MIDNIGHT):
        found = when_is(LONDON, "Vega", instant, year=False)
        assert found.night == date(2026, 3, 2)
        assert all(
            utc("2026-03-02T12:00") <= at < utc("2026-03-03T12:00")
            for at in (*found.rises_utc, *found.transits_utc, *found.sets_utc)
        )


def test_the_year_has_thirteen_months_or_twelve_and_knows_the_season() -> None:
    found = when_is(LONDON, "Betelgeuse", utc("2026-03-02T21:00"))
    months = {month.month: month for month in found.year}
    assert len(months) == 13
    assert next(iter(months)) == "2026-03"
    # In June the Sun stands beside it, about 16 degrees away: not seen dark above 30 degrees on any night.
    assert (months["2026-06"].nights, months["2026-06"].best_alt_deg) == (0, None)
    assert months["2026-12"].nights == 31
    # Its declination is +7.4: at most 90 - 52.2 + 7.4 degrees high.
    assert months["2026-12"].best_alt_deg is not None
    assert_allclose(months["2026-12"].best_alt_deg, 45.2, atol=0.3)


def test_what_never_rises_says_so() -> None:
    found = when_is(LONDON, "Canopus", utc("2026-03-02T21:00"), year=False)
    assert (found.course, found.rises_utc, found.best_utc, found.best_alt_deg) == (
        "never rises",
        [],
        None,
        None,
    )


def test_objects_are_titled_as_people_speak_of_them_and_the_horizon_is_told() -> None:
    at = AN_HOUR_AFTER_MIDNIGHT
    assert (where_is(KAROO, "LMC", at).name, where_is(KAROO, "LMC", at).title) == (
        "ESO 56-115",
        "ESO 56-115, LMC",
    )
    assert (where_is(KAROO, "Vega", at).title, where_is(KAROO, "Moon", at).title) == ("Vega", "Moon")
    walled = ObservingSite(LONDON.site, LONDON.place, LONDON.zone, ((0.0, 80.0), (180.0, 80.0)))
    assert when_is(walled, "Saturn", at, year=False).has_horizon
    assert not when_is(LONDON, "Saturn", at, year=False).has_horizon


def test_a_year_without_a_night_says_how_high_it_gets_in_the_dark() -> None:
    # Adhara's declination is -28.97: 90 - 52.2 - 28.97 = 8.8 degrees high, and 0.1 more by refraction.
    low = when_is(LONDON, "Adhara", utc("2026-03-02T21:00"))
    assert not any(month.nights for month in low.year)
    assert low.highest_in_dark_deg is not None
    assert_allclose(low.highest_in_dark_deg, 8.9, atol=0.1)
    sun = when_is(LONDON, "Sun", utc("2026-03-02T21:00"))
    assert (sun.highest_in_dark_deg, sum(month.nights for month in sun.year)) == (None, 0)
    high = when_is(LONDON, "Betelgeuse", utc("2026-03-02T21:00"))
    assert high.highest_in_dark_deg == max(month.best_alt_deg or 0.0 for month in high.year)


@pytest.mark.parametrize("above", [-1.0, 90.0, float("nan")])
def test_an_altitude_that_cannot_be_is_refused(above: float) -> None:
    with pytest.raises(OutOfRange):
        when_is(LONDON, "Vega", utc("2026-03-02T21:00"), above_deg=above)


def test_polar_night_and_midnight_sun_are_told() -> None:
    dark = sun_and_moon(FAR_NORTH, utc("2026-12-21T12:00"))
    assert (dark.sun_never_rises, dark.sun_never_sets) == (True, False)
    assert dark.twilight_utc["sunset"] is None
    bright = sun_and_moon(FAR_NORTH, utc("2026-06-21T22:00"))
    assert (bright.sun_never_rises, bright.sun_never_sets) == (False, True)
    assert bright.caution is not None  # the Sun is up at midnight


def test_southern_evenings_come_in_their_order() -> None:
    found = sun_and_moon(KAROO, utc("2026-03-02T20:00"))
    times = [
        found.twilight_utc[name] for name in ("sunset", "civil_dusk", "nautical_dusk", "astronomical_dusk")
    ]
    assert None not in times
    assert times == sorted(times)  # type: ignore[type-var]
    assert found.night == date(2026, 3, 2)
    # Full Moon on 3 March 2026 at 11:38 UTC (a total eclipse; from memory): nearly full, and full is next.
    assert found.phase.illuminated > 0.98
    name, when = found.next_phases[0]
    assert name == "full Moon"
    assert abs((when - utc("2026-03-03T11:38")).total_seconds()) < 120


def test_the_pole_star_is_the_hemispheres_own() -> None:
    north, south = (pole_now(view, utc("2026-03-02T20:00")) for view in (LONDON, KAROO))
    assert (north.star, south.star) == ("Polaris", "Polaris Australis")
    assert [error.minutes for error in north.clock_error_arcmin] == [4, 10, 30, 60]
    assert 37 < north.distance_arcmin < 39  # 37.7' in 2026 by the mean place (erfa.pmsafe and pmat06)
    # sigma Octantis has declination -88.956 (J2000, Hipparcos, from memory): about 1.1 degrees from the pole.
    assert 60 < south.distance_arcmin < 72
    assert_allclose(
        north.clock_error_arcmin[-1].arcmin, north.distance_arcmin * 0.2611, rtol=0.01
    )  # 2 sin(7.52 deg)


NOON, MIDNIGHT = utc("2026-06-21T12:00"), utc("2026-12-21T00:00")


@pytest.mark.parametrize(
    ("name", "instant", "begins"),
    [
        ("Sun", NOON, "The Sun:"),
        ("Sun", MIDNIGHT, "The Sun:"),
        ("Elnath", NOON, "Close to the Sun"),  # on 21 June the Sun is at 6 h 00 +23.4, Elnath at 5 h 26 +28.6
        ("Vega", NOON, "The Sun is up"),
        ("Vega", MIDNIGHT, None),
    ],
)
def test_the_solar_caution_stands_where_it_must(name: str, instant: datetime, begins: str | None) -> None:
    caution = where_is(LONDON, name, instant).caution
    assert caution is None if begins is None else (caution or "").startswith(begins)


def test_the_pole_by_day_carries_the_caution() -> None:
    assert (pole_now(LONDON, NOON).caution or "").startswith("The Sun is up")
    assert pole_now(LONDON, MIDNIGHT).caution is None


def test_the_sun_found_by_name_carries_its_caution() -> None:
    hits = search_sky("sun")
    assert [hit.name for hit in hits if hit.caution] == ["Sun"]


@pytest.mark.parametrize("text", ["", "  ", "Vegga", "\u2603"])
def test_a_name_that_is_nothing_is_refused_in_words(text: str) -> None:
    with pytest.raises(UnknownInSky, match="There is no star or object") as caught:
        find_in_sky(text)
    assert "obslog sky find" in caught.value.hint
