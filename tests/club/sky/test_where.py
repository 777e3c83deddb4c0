"""Where something stands, by its own place in the sky; under which name, and with which caution."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from numpy.testing import assert_allclose

from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.when import when_is
from obslog.club.sky.where import where_is
from obslog.values import Place

LONDON = ObservingSite("Mill Field", Place(52.2, 0.12, 20.0), ZoneInfo("Europe/London"))
KAROO = ObservingSite("Kestrel Ridge", Place(-32.4, 22.3, 1700.0), ZoneInfo("Africa/Johannesburg"))
AN_HOUR_AFTER_MIDNIGHT = datetime(2026, 3, 3, 1, tzinfo=UTC)


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


NOON, MIDNIGHT = utc("2026-06-21T12:00"), utc("2026-12-21T00:00")


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
