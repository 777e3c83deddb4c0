"""Pole stars stand where geometry puts them, on every dial."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.sky.places.pole import clock_error_arcmin, pole_star
from obslog.sky.places.refraction import Air
from obslog.values import Place

DAY = np.datetime64("2026-11-25T12:00", "us") + np.arange(0, 24 * 60, 10) * np.timedelta64(1, "m")
NORTH, SOUTH = Place(52.2, 0.1), Place(-37.8, 145.0)
NO_AIR = Air(0.0)


def test_each_hemisphere_has_its_star() -> None:
    assert pole_star(DAY[0], NORTH).star.name == "Polaris"
    assert pole_star(DAY[0], SOUTH).star.designation == "σ Oct"


def test_from_the_equator_north_it_is_polaris() -> None:
    when = np.datetime64("2026-03-02T21:00")
    names = [pole_star(when, Place(lat_deg, 0.0)).star.name for lat_deg in (0.0, 0.1, -0.1)]
    assert names == ["Polaris", "Polaris", "Polaris Australis"]


def test_without_air_the_distance_is_the_polar_distance() -> None:
    # Late 2026: 37.7' from the mean place (erfa.pmsafe and pmat06), within
    # half an arcminute for aberration and nutation.
    polaris = pole_star(DAY, NORTH, NO_AIR)
    assert_allclose(polaris.distance_arcmin, 37.7, atol=0.5)
    assert_allclose(np.ptp(polaris.distance_arcmin), 0, atol=0.02)
    # Sigma Octantis, from memory: 1.04 deg from the pole in 2000, and farther since by precession.
    assert np.all(np.abs(pole_star(DAY, SOUTH, NO_AIR).distance_arcmin - 67) < 5)


def test_air_lifts_pole_and_star_nearly_alike() -> None:
    airless, seen = pole_star(DAY, NORTH, NO_AIR), pole_star(DAY, NORTH)
    # Saemundsson's formula, Sky & Telescope 72 (1986) 70: 0.79' at 52 deg; the
    # difference across 37' of altitude is a fiftieth of an arcminute.
    assert_allclose((seen.pole_alt_deg - NORTH.lat_deg) * 60, 0.79, atol=0.03)
    assert_allclose(seen.distance_arcmin, airless.distance_arcmin, atol=0.03)


@pytest.mark.parametrize(
    ("place", "clockwise"),
    [
        (NORTH, -1.0),
        (SOUTH, 1.0),
    ],  # facing the pole, stars turn against the clock in the north, with it in the south
)
def test_the_eyes_dial_follows_the_hour_angle(place: Place, clockwise: float) -> None:
    star = pole_star(DAY, place, NO_AIR)
    expected = clockwise * star.hour_angle_hours / 2
    difference = (star.dial_by_eye_hours - expected + 6) % 12 - 6
    # The dial is on the sky about the pole: exact but for the curve of the sky over a degree.
    assert_allclose(difference, 0, atol=0.01)


def test_dials_of_the_two_kinds_of_polar_scope() -> None:
    star = pole_star(DAY, NORTH)
    upside_down = (star.dial_inverted_hours - star.dial_by_eye_hours) % 12
    assert_allclose(upside_down, 6.0, atol=1e-9)
    swapped = (star.dial_mirrored_hours + star.dial_by_eye_hours) % 12
    assert_allclose((swapped + 6) % 12 - 6, 0.0, atol=1e-9)
    assert_allclose(star.position_angle_deg, star.dial_by_eye_hours * 30, atol=1e-9)


def test_a_star_above_the_pole_is_at_twelve_by_eye_and_at_six_turned() -> None:
    star = pole_star(DAY, NORTH)
    top = int(np.argmax(star.alt_deg))
    assert_allclose((star.dial_by_eye_hours[top] + 6) % 12 - 6, 0, atol=0.1)
    assert_allclose(star.dial_inverted_hours[top], 6, atol=0.1)


def test_a_star_east_of_the_northern_pole_is_on_the_right() -> None:
    star = pole_star(DAY, NORTH)
    east = star.az_deg < 180
    assert np.all(star.dial_by_eye_hours[east] < 6)
    assert np.all(star.dial_by_eye_hours[~east] > 6)


def test_what_a_clock_error_costs() -> None:
    # The sky turns 1 deg in 239.345 s (86164.0905 s / 360, IERS Conventions):
    # a star 57.3' away moves by 1'. Half a turn moves it across.
    assert_allclose(clock_error_arcmin(57.29578, 239.345 / 60), 1.0, rtol=1e-4)
    assert_allclose(clock_error_arcmin(40.0, 86164.0905 / 120), 80.0, rtol=1e-6)
    assert_allclose(clock_error_arcmin(40.0, [-1.0, 0.0, 1.0])[[0, 1]], clock_error_arcmin(40.0, [1.0, 0.0]))
    assert np.isnan(clock_error_arcmin(40.0, np.nan))


@pytest.mark.parametrize("lat_deg", [90.0, -90.0, 0.0, 0.5])
def test_there_is_an_answer_everywhere(lat_deg: float) -> None:
    star = pole_star(DAY, Place(lat_deg, 0.0))
    assert np.all(np.isfinite(star.distance_arcmin))
    assert np.all(np.isfinite(star.dial_by_eye_hours))
