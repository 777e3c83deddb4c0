"""Rises, transits and sets agree with another search, and have an answer everywhere on Earth."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from skyfield import almanac
from skyfield.api import Star as SkyfieldStar
from skyfield.api import wgs84

from obslog.sky.evening.rising import Course, rise_transit_set
from obslog.sky.names.solar_system import Body
from obslog.sky.names.stars import find_star
from obslog.sky.places.apparent_places import directions_of
from obslog.sky.places.ephemeris import Target, target_places
from obslog.sky.places.kernel import Instants, kernel, skyfield_time
from obslog.values import Place

NOON = np.datetime64("2026-11-25T12:00", "us")
HERE = Place(54.6, -3.1, 0)


def star(name: str) -> Target:
    return directions_of(find_star(name))


def skyfield_events(name: str, place: Place) -> dict[str, Instants]:
    """Rises, transits and sets by the search of Skyfield's almanac, which steps in hour angle."""
    found = find_star(name) if name not in set(Body) else None
    if found is None:
        target = kernel()[name if name in ("Sun", "Moon", "Mars") else f"{name} barycenter"]
    else:
        target = SkyfieldStar(
            ra_hours=found.ra_hours, dec_degrees=found.dec_deg, ra_mas_per_year=found.pm_ra_mas_per_year,
            dec_mas_per_year=found.pm_dec_mas_per_year, parallax_mas=found.parallax_mas,
        )  # fmt: skip
    observer = kernel()["earth"] + wgs84.latlon(place.lat_deg, place.lon_deg, place.elevation_m)
    start, stop = skyfield_time(NOON)[0], skyfield_time(NOON + np.timedelta64(24, "h"))[0]
    rises, rose = almanac.find_risings(observer, target, start, stop)
    sets, went = almanac.find_settings(observer, target, start, stop)
    transits = almanac.find_transits(observer, target, start, stop)
    events = {"rises_utc": rises[rose], "sets_utc": sets[went], "transits_utc": transits}
    return {
        kind: np.array([t.replace(tzinfo=None) for t in times.utc_datetime()], "datetime64[us]")
        for kind, times in events.items()
    }


@pytest.mark.parametrize("name", ["Sun", "Moon", "Mars", "Jupiter", "Spica", "Sirius", "Aldebaran"])
@pytest.mark.parametrize(
    "place", [HERE, Place(-33.9, 151.2, 0), Place(0.0, 180.0, 0), Place(66.0, -150.0, 0)]
)
def test_events_agree_with_another_search(name: str, place: Place) -> None:
    ours = rise_transit_set(Body(name) if name in set(Body) else star(name), NOON, place)
    for kind, expected in skyfield_events(name, place).items():
        found = getattr(ours, kind)
        assert found.shape == expected.shape, kind
        assert_allclose((found - expected) / np.timedelta64(1, "s"), 0, atol=1.0)


def test_a_transit_is_the_highest_point_and_on_the_meridian() -> None:
    day = rise_transit_set(star("Spica"), NOON, HERE)
    seen = target_places(star("Spica"), day.transits_utc, HERE)
    assert_allclose(seen.hour_angle_hours, 0, atol=1e-5)
    assert_allclose(seen.az_deg, 180, atol=1e-3)
    assert_allclose(day.transit_alt_deg, seen.alt_deg, atol=1e-9)


@pytest.mark.parametrize(
    ("name", "place", "course"),
    [
        ("Vega", HERE, Course.NEVER_SETS),
        ("Canopus", HERE, Course.NEVER_RISES),
        ("Canopus", Place(-45, 170), Course.NEVER_SETS),
        ("Vega", Place(-60, 170), Course.NEVER_RISES),
        ("Vega", Place(90, 0), Course.NEVER_SETS),
        ("Vega", Place(-90, 0), Course.NEVER_RISES),
        ("Vega", Place(0, 0), Course.RISES_AND_SETS),
    ],
)
def test_never_rising_and_never_setting_are_answers(name: str, place: Place, course: Course) -> None:
    day = rise_transit_set(star(name), NOON, place)
    assert day.course is course
    assert (day.rises_utc.size > 0) == (course is Course.RISES_AND_SETS)
    assert day.transits_utc.size >= 1


@pytest.mark.parametrize(
    ("day", "lat_deg", "course"),
    [
        ("2026-06-21", 70.0, Course.NEVER_SETS),
        ("2026-12-21", 70.0, Course.NEVER_RISES),
        ("2026-06-21", -70.0, Course.NEVER_RISES),
        ("2026-12-21", -90.0, Course.NEVER_SETS),
        ("2026-03-20", 70.0, Course.RISES_AND_SETS),
    ],
)
def test_the_sun_in_polar_day_and_night(day: str, lat_deg: float, course: Course) -> None:
    assert rise_transit_set(Body.SUN, np.datetime64(day), Place(lat_deg, 20)).course is course


def test_a_span_without_a_transit_has_none() -> None:
    day = rise_transit_set(star("Spica"), NOON, HERE, hours=1)
    assert day.transits_utc.shape == day.transit_alt_deg.shape == (0,)


def test_another_horizon_can_be_asked_for() -> None:
    usual = rise_transit_set(star("Spica"), NOON, HERE)
    hill = rise_transit_set(star("Spica"), NOON, HERE, horizon_deg=20.0)
    assert hill.rises_utc[0] > usual.rises_utc[0]
    assert_allclose(target_places(star("Spica"), hill.rises_utc, HERE).airless_alt_deg, 20.0, atol=1e-4)
