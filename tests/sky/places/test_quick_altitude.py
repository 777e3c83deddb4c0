"""The quick altitude is that of the full computation, to a fiftieth of a degree."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.sky.names.solar_system import Body
from obslog.sky.places.apparent_places import Directions, apparent_places
from obslog.sky.places.ephemeris import body_places
from obslog.sky.places.quick_altitude import hour_angle_hours, quick_alt_az_deg, quick_sun_alt_deg
from obslog.sky.places.refraction import Air
from obslog.values import Place


@pytest.mark.parametrize("place", [Place(52.2, 0.12), Place(-45.1, 169.7, 340), Place(0, -78), Place(89, 10)])
def test_it_agrees_with_the_full_computation_all_over_the_sky(place: Place) -> None:
    rng = np.random.default_rng(20260302)
    for _ in range(40):
        ra, dec = float(rng.uniform(0, 24)), float(np.degrees(np.arcsin(rng.uniform(-1, 1))))
        when = datetime(1990, 1, 1, tzinfo=UTC) + timedelta(days=float(rng.uniform(0, 20000)))
        full = apparent_places(Directions(ra, dec), when, place, Air(1010, 10))
        alt_deg, az_deg = quick_alt_az_deg(ra, dec, when, place)
        assert_allclose(alt_deg, full.alt_deg, atol=0.02)
        sideways = ((az_deg - full.az_deg + 180) % 360 - 180) * np.cos(np.radians(full.airless_alt_deg))
        assert_allclose(sideways, 0, atol=0.02)


@pytest.mark.parametrize("place", [Place(52.2, 0.12), Place(-45.1, 169.7, 340), Place(0, -78), Place(89, 10)])
def test_the_quick_sun_is_that_of_the_ephemeris(place: Place) -> None:
    rng = np.random.default_rng(20261128)
    for days in rng.uniform(0, 36_500, 40):
        when = datetime(1950, 1, 1, tzinfo=UTC) + timedelta(days=float(days))
        full = body_places(Body.SUN, when, place, Air(1010, 10))
        assert_allclose(quick_sun_alt_deg(when, place), full.alt_deg, atol=0.02)


def test_the_worked_example_of_venus_at_washington() -> None:
    """J. Meeus, Astronomical Algorithms (1998), example 13.b: altitude +15.1249 deg, without refraction.

    The place is of date, 1987 April 10, 19:21 UT; it is first moved to J2000 with yearly precession (chapter 21).
    """
    ra, dec = 23 + 9 / 60 + 16.641 / 3600, -(6 + 43 / 60 + 11.61 / 3600)
    when = datetime(1987, 4, 10, 19, 21, tzinfo=UTC)
    at_washington = Place(38 + 55 / 60 + 17 / 3600, -(77 + 3 / 60 + 56 / 3600))
    years = (2000 - 1987.273) / 100
    ra_2000 = ra + years * (3.07496 + 1.33621 * np.sin(np.radians(ra * 15)) * np.tan(np.radians(dec))) / 36
    dec_2000 = dec + years * 100 * 20.0431 * np.cos(np.radians(ra * 15)) / 3600
    refraction = 1.02 / np.tan(np.radians(15.1249 + 10.3 / (15.1249 + 5.11))) / 60
    assert_allclose(
        quick_alt_az_deg(ra_2000, dec_2000, when, at_washington)[0], 15.1249 + refraction, atol=0.01
    )


@pytest.mark.parametrize(
    ("alt_deg", "az_deg", "lat_deg", "hours"),
    [
        (40.0, 180.0, 52.0, 0.0),  # due south, north of the equator
        (40.0, 0.0, -33.0, 0.0),  # due north, south of it
        (40.0, 0.0, 52.0, 12.0),  # under the pole
        (60.0, 0.0, 52.0, 0.0),  # over it
        (0.0, 270.0, 52.0, 6.0),  # the west point is on the equator, a quarter of a turn from the meridian
        (0.0, 90.0, 52.0, -6.0),
        (30.0, 270.0, 0.0, 4.0),  # on the equator, due west: the zenith distance is the hour angle
    ],
)
def test_the_hour_angle_of_a_direction(alt_deg: float, az_deg: float, lat_deg: float, hours: float) -> None:
    found = hour_angle_hours(alt_deg, az_deg, Place(lat_deg, 0.0))
    assert (found - hours + 1) % 24 == pytest.approx(1, abs=1e-9)
