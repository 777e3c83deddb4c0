"""Refraction against printed examples."""

import erfa
import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.sky.places.apparent_places import Directions, apparent_places
from obslog.sky.places.refraction import Air, airless_alt_deg, refracted_alt_deg, refraction_deg, usual_air
from obslog.sky.places.sphere import equatorial
from obslog.values import Place

STANDARD = Air(1010.0, 10.0)
# NOVAS scales Bennett's formula by 0.28 P / (T + 273), which is one at this pressure: for the bare formula.
BARE = Air(283 / 0.28, 10.0)


def test_bennett_of_meeus() -> None:
    # Meeus ex. 16.a: R 28.754' at the APPARENT altitude 0.5 deg; true altitude 1'14.7".
    assert_allclose(refraction_deg(0.5, BARE) * 60, 28.754, rtol=0, atol=0.01)
    assert_allclose(airless_alt_deg(0.5, BARE) * 60, 1 + 14.7 / 60, rtol=0, atol=0.01)


def test_true_altitude_of_meeus_gives_the_apparent_one() -> None:
    # Meeus ex. 16.a, second part: Saemundsson's formula takes the TRUE altitude: 33'14.76" to 57'51.96".
    # Bennett's, solved for the true altitude, is said there to agree with it within 0.1'.
    seen_arcmin = refracted_alt_deg((33 + 14.76 / 60) / 60, STANDARD) * 60
    assert_allclose(seen_arcmin, 57 + 51.96 / 60, rtol=0, atol=0.1)


@pytest.mark.parametrize(
    ("alt_deg", "arcmin"),
    # Computed from the printed formula: G. G. Bennett, Journal of Navigation 35 (1982) 255.
    [(0, 34.478), (1, 24.329), (2, 18.216), (5, 9.883), (10, 5.392), (20, 2.703), (45, 0.995)],
)
def test_bennett(alt_deg: float, arcmin: float) -> None:
    assert_allclose(refraction_deg(alt_deg, BARE) * 60, arcmin, rtol=0, atol=0.002)


def test_the_usual_air_is_that_of_the_printed_formulas() -> None:
    # Meeus, chapter 16: the formulas hold for 1010 hPa and 10 C; another pressure or temperature scales them by
    # P / 1010 x 283 / (273 + T). The pressure falls by 1/e in 9100 m.
    usual = refraction_deg(20.0, usual_air(0.0))
    assert_allclose(usual, refraction_deg(20.0, STANDARD), rtol=1e-12)
    assert_allclose(refraction_deg(20.0, usual_air(9100.0)), usual / np.e, rtol=1e-12)
    assert_allclose(refraction_deg(20.0, Air(505.0, 20.0)), usual / 2 * 283 / 293, rtol=1e-12)


def test_refraction_is_never_negative_at_the_zenith() -> None:
    # Bennett's formula gives -0.0014' at 90 deg.
    assert_allclose(refraction_deg([89.95, 90.0], STANDARD), 0.0, atol=1e-12)
    assert np.all(refraction_deg(np.linspace(-1, 90, 500), STANDARD) >= 0)


@pytest.mark.parametrize(
    ("alt_deg", "air", "degrees"),
    # Output of NOVAS C (USNO), as quoted in Skyfield's tests (test_against_novas.py).
    [
        (-1, Air(1010, 10), 0.8296919418249878),
        (-1, Air(1013.25, 25), 0.7904643394754796),
        (15, Air(1010, 10), 0.06056215494995108),
        (15, Air(1013.25, 25), 0.057698793246593584),
        (-5, Air(1010, 10), 0.0),
        (89.95, Air(1010, 10), 0.0),
    ],
)
def test_pressure_and_temperature_of_novas(alt_deg: float, air: Air, degrees: float) -> None:
    assert_allclose(refraction_deg(alt_deg, air), degrees, rtol=0, atol=1e-12)


@pytest.mark.parametrize(
    ("pole_alt_deg", "arcmin"),
    # Computed by Saemundsson's formula (Sky & Telescope 72 (1986) 70, in Meeus ch. 16); it
    # exceeds Bennett's by up to 0.04' here, and both exceed ERFA's.
    [(30, 1.75), (40, 1.21), (50, 0.85), (52, 0.79), (60, 0.59)],
)
def test_the_refracted_pole_stands_above_the_true_one(pole_alt_deg: float, arcmin: float) -> None:
    lifted = refracted_alt_deg(pole_alt_deg, STANDARD) - pole_alt_deg
    assert_allclose(lifted * 60, arcmin, rtol=0, atol=0.04)


def test_refraction_is_near_that_of_erfa() -> None:
    # erfa.refco: two constants fitted to an integrated atmosphere, here dry and at 0.55 um.
    seen_deg = np.arange(15.0, 90.0, 5.0)
    tangent_a, tangent_b = erfa.refco(1010.0, 10.0, 0.0, 0.55)
    tangent = np.tan(np.radians(90 - seen_deg))
    expected_deg = np.degrees(tangent_a * tangent + tangent_b * tangent**3)
    assert_allclose(refraction_deg(seen_deg, STANDARD) * 60, expected_deg * 60, rtol=0, atol=0.08)


@pytest.mark.parametrize("seen_deg", [10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 75.0])
def test_refraction_is_within_its_stated_three_per_cent_of_printed_constants(seen_deg: float) -> None:
    # ERFA's own tests (t_erfa_c.c, refco): 800 hPa, 10 C, humidity 0.9, 0.4 um; factors of tan z and its cube, radians.
    tangent = np.tan(np.radians(90 - seen_deg))
    expected = 2.264949956241415009e-4 * tangent - 2.598658261729343970e-7 * tangent**3
    assert_allclose(refraction_deg(seen_deg, Air(800.0, 10.0)), np.degrees(expected), rtol=0.03)


def test_the_sky_turns_at_kings_rate_near_the_zenith() -> None:
    # E. S. King, A Manual of Celestial Photography (1931), from memory: 15.0369" a second near the zenith, for the air
    # lets the stars creep. About: 15.04107 x (1 - 58.3"/206265") = 15.0368.
    place, middle = Place(50.0, 0.0), np.datetime64("2026-03-01T22:00", "us")
    ra_hours, dec_deg = 0.0, place.lat_deg - 2.0
    for _ in range(4):  # bring it to the meridian, two degrees from the zenith
        seen = apparent_places(Directions(ra_hours, dec_deg), middle, place)
        ra_hours = (ra_hours + float(seen.hour_angle_hours)) % 24
        dec_deg += place.lat_deg - 2.0 - float(seen.dec_deg)
    star = Directions(ra_hours, dec_deg)
    minute = middle + np.array([-30, 30]) * np.timedelta64(1, "s")
    seen = apparent_places(star, minute, place)
    rates = [
        float(np.diff(equatorial(alt_deg, seen.az_deg, place.lat_deg)[0])[0]) * 15 * 60
        for alt_deg in (seen.alt_deg, seen.airless_alt_deg)
    ]
    assert_allclose(rates, [15.0369, 15.04107], rtol=0, atol=2e-4)
