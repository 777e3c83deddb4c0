"""Apparent places against printed examples and against ERFA, another realisation of the IAU standards."""

import warnings
from datetime import UTC, datetime
from typing import Any

import erfa
import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.sky.names.solar_system import Body
from obslog.sky.names.star_tables import all_stars
from obslog.sky.names.stars import find_star
from obslog.sky.places.apparent_places import (
    Directions,
    apparent_places,
    apparent_xyz,
    directions_of,
    of_date,
)
from obslog.sky.places.ephemeris import body_disc, geocentric
from obslog.sky.places.kernel import Array, Instants, kernel, skyfield_time
from obslog.sky.places.moon import bright_limb_deg, ecliptic_longitude_deg
from obslog.sky.places.refraction import Air
from obslog.sky.places.sphere import equatorial
from obslog.values import Place


def td(year: int, month: int, day: int, tai_minus_utc: int) -> np.datetime64:
    """0h of dynamical time, as UTC."""
    start = np.datetime64(f"{year:04}-{month:02}-{day:02}", "us")
    return start - np.timedelta64(round((tai_minus_utc + 32.184) * 1e6), "us")


# The star of the worked example in the IAU SOFA Astrometry Tools cookbook.
SOFA_STAR = Directions(
    14 + 34 / 60 + 16.81183 / 3600, -(12 + 31 / 60 + 10.3965 / 3600), -354.45, 595.35, 164.99
)
SOFA_UTC = datetime(2013, 4, 2, 23, 15, 43, 550000, tzinfo=UTC)


def test_geocentric_place_of_the_sofa_star() -> None:
    # IAU SOFA, Astrometry Tools cookbook, worked example: 14h35m01.7725802s -12d34'36.381654".
    time = skyfield_time(SOFA_UTC)
    x, y, z = of_date(apparent_xyz(SOFA_STAR, kernel()["earth"].at(time), time), time)
    ra_hours = np.degrees(np.arctan2(y, x)) / 15 % 24
    assert_allclose(ra_hours, 14 + 35 / 60 + 1.7725802 / 3600, rtol=0, atol=3e-4 / 3600)
    assert_allclose(
        np.degrees(np.arctan2(z, np.hypot(x, y))),
        -(12 + 34 / 60 + 36.381654 / 3600),
        rtol=0,
        atol=3e-3 / 3600,
    )


def test_airless_place_of_the_sofa_star_over_its_site() -> None:
    # Computed by ERFA for the site of the same example: az 91.391613, alt 47.236364. The site
    # is from memory: 5d41'54.2" W, 15d57'42.8" S, 625 m.
    site = Place(-(15 + 57 / 60 + 42.8 / 3600), -(5 + 41 / 60 + 54.2 / 3600), 625)
    seen = apparent_places(SOFA_STAR, SOFA_UTC, site)
    assert_allclose(seen.airless_alt_deg, 47.236364, rtol=0, atol=0.0003)
    assert_allclose(seen.az_deg, 91.391613, rtol=0, atol=0.0003)


def test_observed_place_through_the_air_of_erfa() -> None:
    # ERFA's own tests (t_erfa_c.c, atco13): a fast star low over a southern mountain on 2013 April 2, 731 hPa, 12.8 C,
    # humidity 0.59, 0.55 um, radians. ERFA also turns the pole by 0.6" and moves the star away at 55 km/s.
    ra_motion, dec_motion = np.degrees([1e-5, 5e-6]) * 3600e3 * [np.cos(0.174), 1.0]
    star = Directions(np.degrees(2.71) / 15, np.degrees(0.174), ra_motion, dec_motion, 100.0)
    place = Place(np.degrees(-1.2345856), np.degrees(-0.527800806), 2738.0)
    seen = apparent_places(
        star, datetime(2013, 4, 2, 23, 15, 43, 550000, tzinfo=UTC), place, Air(731.0, 12.8)
    )
    assert_allclose(seen.az_deg, np.degrees(0.09251774485485515207), rtol=0, atol=0.0003)
    # Bennett's refraction, 4.1' here, is within its stated 3 % of that of the integrated atmosphere.
    assert_allclose(60 * seen.alt_deg, 60 * (90 - np.degrees(1.407661405256499357)), rtol=0, atol=0.13)
    hour_angle, dec = equatorial(seen.alt_deg, seen.az_deg, place.lat_deg)
    assert_allclose(15 * hour_angle, np.degrees(-0.09265154431529724692), rtol=0, atol=0.0003)
    assert_allclose(60 * dec, 60 * np.degrees(0.1716626560072526200), rtol=0, atol=0.13)


def test_sun_of_meeus() -> None:
    # Meeus ex. 25.b, 1992 Oct 13.0 TD, "correct value from the Almanac" (digits from memory).
    when = td(1992, 10, 13, 27)
    ra, dec, distance = geocentric(Body.SUN, when).radec("date")
    assert_allclose(ra.hours, 13 + 13 / 60 + 30.75 / 3600, rtol=0, atol=0.1 / 3600)
    assert_allclose(dec.degrees, -(7 + 47 / 60 + 1.7 / 3600), rtol=0, atol=0.5 / 3600)
    assert_allclose(distance.au, 0.9976085, rtol=0, atol=2e-7)
    longitude_deg = ecliptic_longitude_deg(Body.SUN, when)
    assert_allclose(longitude_deg, 199 + 54 / 60 + 21.6 / 3600, rtol=0, atol=0.5 / 3600)


def test_venus_of_meeus_is_lit_as_printed() -> None:
    # Meeus ex. 41.a: phase angle 72.96 deg, lit part 0.647, 1992 Dec 20.0 TD.
    disc = body_disc(Body.VENUS, td(1992, 12, 20, 27))
    assert_allclose(disc.phase_angle_deg, 72.96, rtol=0, atol=0.02)
    assert_allclose(disc.illuminated, 0.647, rtol=0, atol=0.001)


def test_moon_of_meeus() -> None:
    # Meeus ex. 47.a and 48.a, 1992 Apr 12.0 TD.
    when = td(1992, 4, 12, 26)
    ra, dec, distance = geocentric(Body.MOON, when).radec("date")
    assert_allclose(ra._degrees, 134.688, rtol=0, atol=0.001)
    assert_allclose(dec.degrees, 13.768, rtol=0, atol=0.001)
    assert_allclose(distance.km, 368410, rtol=0, atol=40)
    assert_allclose(ecliptic_longitude_deg(Body.MOON, when), 133.1673, rtol=0, atol=0.001)
    assert_allclose(body_disc(Body.MOON, when).illuminated, 0.68, rtol=0, atol=0.005)
    assert_allclose(bright_limb_deg(when), 285.0, rtol=0, atol=0.1)


def erfa_observed(directions: Directions, when: Instants, place: Place) -> tuple[Array, Array, Array, Array]:
    """Azimuth, altitude, right ascension and declination in radians by ERFA, without air or polar motion."""
    time = skyfield_time(when)
    moments = [moment.astype(object) for moment in np.atleast_1d(when)]
    clock = [(m.year, m.month, m.day, m.hour, m.minute, m.second + m.microsecond / 1e6) for m in moments]
    ra, dec = np.radians(np.multiply(directions.ra_hours, 15)), np.radians(directions.dec_deg)
    mas = np.radians(1 / 3600e3)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", erfa.ErfaWarning)  # "dubious year" after the last leap second known
        utc = erfa.dtf2d("UTC", *(np.array(part) for part in zip(*clock, strict=True)))
        az, zd, _, dec_seen, ra_seen, origins = erfa.atco13(
            ra, dec, np.multiply(directions.pm_ra_mas_per_year, mas) / np.cos(dec),
            np.multiply(directions.pm_dec_mas_per_year, mas), np.divide(directions.parallax_mas, 1000), 0.0,
            *utc, time.dut1, np.radians(place.lon_deg), np.radians(place.lat_deg), place.elevation_m,
            0.0, 0.0, 0.0, 10.0, 0.5, 0.55,
        )  # fmt: skip
    return az, np.pi / 2 - zd, ra_seen - origins, dec_seen


@pytest.mark.parametrize("seed", range(40))
def test_two_thousand_random_triples_agree_with_erfa(seed: int) -> None:
    # 40 sites, each with 50 stars and instants. DUT1 is the time scale's own on both sides.
    rng = np.random.default_rng(seed)
    place = Place(
        float(np.degrees(np.arcsin(rng.uniform(-1, 1)))),
        float(rng.uniform(-180, 180)),
        float(rng.uniform(0, 4000)),
    )
    stars = [all_stars()[i] for i in rng.integers(0, len(all_stars()), 50)]
    when = np.datetime64("1973-01-01", "us") + (rng.uniform(0, 77 * 365.25, 50) * 86400e6).astype(
        "timedelta64[us]"
    )
    directions = directions_of(stars)
    seen = apparent_places(directions, when, place)
    az, alt, ra, dec = erfa_observed(directions, when, place)
    apparent = erfa.seps(ra, dec, np.radians(seen.ra_hours * 15), np.radians(seen.dec_deg))
    horizontal = erfa.seps(az, alt, np.radians(seen.az_deg), np.radians(seen.airless_alt_deg))
    assert_allclose(np.degrees(apparent) * 3600, 0, atol=0.1)
    assert_allclose(np.degrees(horizontal) * 3600, 0, atol=6.0)


def polaris_by_erfa(time: Any) -> tuple[Array, Array]:
    """Apparent geocentric right ascension and declination in radians."""
    star = find_star("Polaris")
    mas, dec = np.radians(1 / 3600e3), np.radians(star.dec_deg)
    ra_cirs, dec_cirs, origins = erfa.atci13(
        np.radians(star.ra_hours * 15), dec, star.pm_ra_mas_per_year * mas / np.cos(dec),
        star.pm_dec_mas_per_year * mas, star.parallax_mas / 1000, 0.0, time.tdb, 0.0,
    )  # fmt: skip
    return ra_cirs - origins, dec_cirs


def test_polaris_from_1950_to_2050_agrees_with_erfa() -> None:
    when = np.datetime64("1950-01-01", "us") + np.arange(0, 100 * 365, 97) * np.timedelta64(1, "D")
    time = skyfield_time(when)
    x, y, z = of_date(
        apparent_xyz(directions_of(find_star("Polaris")), kernel()["earth"].at(time), time), time
    )
    ra, dec = polaris_by_erfa(time)
    apart = erfa.seps(ra, dec, np.arctan2(y, x), np.arctan2(z, np.hypot(x, y)))
    assert_allclose(np.degrees(apart) * 3600, 0, atol=0.1)


def mean_places(directions: Directions, years: Array) -> tuple[Array, Array]:
    """Mean right ascension (hours) and declination (degrees) at these epochs, on their own equinoxes.

    The program knows apparent places only: ERFA takes aberration, light bending and nutation out of them.
    """
    epoch = np.datetime64("2000-01-01T12:00", "us")
    time = skyfield_time(epoch + ((years - 2000) * 365.25 * 86400e6).astype("timedelta64[us]"))
    x, y, z = of_date(apparent_xyz(directions, kernel()["earth"].at(time), time), time)
    date = time.whole, time.tt_fraction
    from_cio = np.arctan2(y, x) + erfa.eo06a(*date)
    ra, dec, _ = erfa.atic13(from_cio, np.arctan2(z, np.hypot(x, y)), *date)
    x, y, z = np.einsum("nij,nj->in", erfa.pmat06(*date), erfa.s2c(ra, dec))
    return np.degrees(np.arctan2(y, x)) / 15 % 24, np.degrees(np.arctan2(z, np.hypot(x, y)))


def test_mean_polar_distance_of_polaris() -> None:
    # Hipparcos (ESA SP-1200, 1997) for 2000, from memory: 90 deg - 89d15'50.79"; the later epochs carried on by
    # erfa.pmsafe and pmat06.
    years = np.array([2000.0, 2010, 2020, 2025, 2026, 2030, 2050])
    expected = [44.154, 41.576, 39.119, 37.943, 37.713, 36.807, 32.743]
    _, dec = mean_places(directions_of(find_star("Polaris")), years)
    assert_allclose(60 * (90 - dec), expected, rtol=0, atol=0.02)


def test_mean_place_of_polaris_in_2050() -> None:
    # Meeus, Astronomical Algorithms (1998), exercise of chapter 21, from memory: 3h48m16s +89d27'15.4", of an older
    # proper motion, so that right ascension agrees to 8 s. Its other date, J2100, lies beyond the program's ephemeris.
    ra, dec = mean_places(directions_of(find_star("Polaris")), np.array([2050.0]))
    assert_allclose(ra, 3 + 48 / 60 + 16 / 3600, rtol=0, atol=8 / 3600)
    assert_allclose(dec, 89 + 27 / 60 + 15.4 / 3600, rtol=0, atol=0.5 / 3600)


def test_mean_place_of_theta_persei() -> None:
    # Meeus ex. 21.b, JD 2462088.69: from 2h44m11.986s +49d13'42.48", moving +0.03425 s and -0.0895" a year.
    star_dec = 49 + 13 / 60 + 42.48 / 3600
    motion_mas = 0.03425 * 15e3 * np.cos(np.radians(star_dec))
    star = Directions(2 + 44 / 60 + 11.986 / 3600, star_dec, motion_mas, -89.5)
    ra, dec = mean_places(star, np.array([2000 + (2462088.69 - 2451545) / 365.25]))
    assert_allclose(ra, 2 + 46 / 60 + 11.331 / 3600, rtol=0, atol=0.01 / 3600)
    assert_allclose(dec, 49 + 20 / 60 + 54.54 / 3600, rtol=0, atol=0.1 / 3600)


@pytest.mark.parametrize("year", [2000, 2026, 2050])
def test_polaris_swings_by_aberration(year: int) -> None:
    # Over a year: 20.5" each way (the constant of aberration, IAU 1976: 20.496") and 0.3' of precession.
    when = np.datetime64(f"{year}-01-01", "us") + np.arange(-183, 183, 5) * np.timedelta64(1, "D")
    time = skyfield_time(when)
    x, y, z = of_date(
        apparent_xyz(directions_of(find_star("Polaris")), kernel()["earth"].at(time), time), time
    )
    distance_arcmin = np.degrees(np.arctan2(np.hypot(x, y), z)) * 60
    assert 2 * 20.4 / 60 < np.ptp(distance_arcmin) < 2 * 20.5 / 60 + 0.3
