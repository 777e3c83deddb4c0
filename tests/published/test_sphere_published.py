"""Spherical trigonometry against printed examples and the test values of ERFA (t_erfa_c.c)."""

from datetime import UTC, datetime

import numpy as np
from numpy.testing import assert_allclose

from obslog.sky.places.apparent_places import observer_at
from obslog.sky.places.kernel import kernel, skyfield_time
from obslog.sky.places.sphere import equatorial, horizontal, separation_deg
from obslog.values import Place
from tests.sky.sidereal_time import local_sidereal_hours

HOURS = 12 / np.pi
DEG = 180 / np.pi

# Meeus, Astronomical Algorithms (1998), example 13.b: Venus from Washington, 1987 April 10, 19:21:00 UT.
WASHINGTON = Place(38 + 55 / 60 + 17 / 3600, -(77 + 3 / 60 + 56 / 3600))
VENUS_RA_HOURS = 23 + 9 / 60 + 16.641 / 3600
VENUS_DEC_DEG = -(6 + 43 / 60 + 11.61 / 3600)


def test_venus_of_meeus_counts_azimuth_from_north() -> None:
    # H 64.352112; A 68.0337 from SOUTH westward, so 248.0337 from north; altitude 15.1249.
    when = datetime(1987, 4, 10, 19, 21, tzinfo=UTC)
    hour_angle = local_sidereal_hours(when, WASHINGTON) - VENUS_RA_HOURS
    # The example gives UT1, 0.29 s behind UTC on that day.
    hour_angle -= float(skyfield_time(when).dut1[0]) / 3600
    assert_allclose(hour_angle * 15 % 360, 64.352112, rtol=0, atol=0.0005)
    alt, az = horizontal(hour_angle, VENUS_DEC_DEG, WASHINGTON.lat_deg)
    assert_allclose([alt, az], [15.1249, 248.0337], rtol=0, atol=0.0005)


def test_hour_angle_to_azimuth_of_erfa() -> None:
    # hd2ae(1.1, 1.2, 0.3).
    alt, az = horizontal(1.1 * HOURS, 1.2 * DEG, 0.3 * DEG)
    assert_allclose([az / DEG, alt / DEG], [5.916889243730066194, 0.4472186304990486228], rtol=0, atol=1e-13)


def test_azimuth_to_hour_angle_of_erfa() -> None:
    # ae2hd(5.5, 1.1, 0.7).
    hour_angle, dec = equatorial(1.1 * DEG, 5.5 * DEG, 0.7 * DEG)
    assert_allclose(
        [hour_angle / HOURS, dec / DEG], [0.5933291115507309663, 0.9613934761647817620], rtol=0, atol=1e-14
    )


def test_separation_of_arcturus_and_spica() -> None:
    # Meeus ex. 17.a: 32.7930 deg.
    arcturus = 15 * (14 + 15 / 60 + 39.7 / 3600), 19 + 10 / 60 + 57 / 3600
    spica = 15 * (13 + 25 / 60 + 11.6 / 3600), -(11 + 9 / 60 + 41 / 3600)
    assert_allclose(separation_deg(*arcturus, *spica), 32.7930, rtol=0, atol=1e-4)


def test_separation_of_erfa() -> None:
    # seps((1.0, 0.1), (0.2, -3.0)).
    apart = separation_deg(1.0 * DEG, 0.1 * DEG, 0.2 * DEG, -3.0 * DEG)
    assert_allclose(apart / DEG, 2.346722016996998842, rtol=0, atol=1e-14)


def test_observer_stands_on_the_ellipsoid() -> None:
    # Meeus ex. 11.a, Palomar: rho sin phi' 0.546861, rho cos phi' 0.836339 of the equatorial radius.
    time = skyfield_time(datetime(2026, 1, 1, tzinfo=UTC))
    palomar = Place(33 + 21 / 60 + 22 / 3600, -116.8625, 1706)
    vector = (observer_at(time, palomar).xyz.km - kernel()["earth"].at(time).xyz.km)[:, 0]
    along_axis = (time.M[:, :, 0] @ vector)[2]
    assert_allclose(along_axis / 6378.137, 0.546861, rtol=0, atol=2e-6)
    assert_allclose(np.sqrt(vector @ vector - along_axis**2) / 6378.137, 0.836339, rtol=0, atol=2e-6)
