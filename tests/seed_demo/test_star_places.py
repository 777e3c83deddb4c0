"""Star places and the approximate sky against ERFA (pyerfa), an independent library."""

from datetime import UTC, date, datetime, timedelta

import erfa
import numpy as np
import pytest
from numpy.testing import assert_allclose

from seed_demo.club import SITES, Site
from seed_demo.seasons import (
    J2000,
    altitude_and_hour_angle,
    dark_hours,
    moon_darkness,
    seconds_since_j2000,
    summer_time_hours,
    sun_altitude_deg,
)
from seed_demo.star_places import airless_directions, refracted
from seed_demo.targets import stars


def erfa_alt_az_deg(
    site: Site, ra_hours: np.ndarray, dec_deg: np.ndarray, utc: list[datetime], pressure_hpa: float
) -> tuple[np.ndarray, np.ndarray]:
    days = np.array([seconds_since_j2000(when) for when in utc]) / 86_400.0
    az, zenith, *_ = erfa.atco13(
        np.radians(15 * ra_hours), np.radians(dec_deg), 0.0, 0.0, 0.0, 0.0, 2451545.0, days, 0.0,
        np.radians(site.lon_deg), np.radians(site.lat_deg), site.elevation_m,
        0.0, 0.0, pressure_hpa, 10.0, 0.5, 0.55,
    )  # fmt: skip
    return 90.0 - np.degrees(zenith), np.degrees(az)


def random_evenings(site: Site) -> tuple[np.ndarray, np.ndarray, list[datetime]]:
    """Stars above 15 deg at random instants of the years that the demo may be asked for."""
    rng = np.random.default_rng(5)
    utc = [datetime(2024, 1, 1, tzinfo=UTC) + timedelta(days=float(d)) for d in rng.uniform(0, 1000, 600)]
    ra_hours, dec_deg = rng.uniform(0, 24, 600), np.degrees(np.arcsin(rng.uniform(-1, 1, 600)))
    alt_deg, _ = erfa_alt_az_deg(site, ra_hours, dec_deg, utc, 0.0)
    up = alt_deg > 15
    return ra_hours[up], dec_deg[up], [when for when, shown in zip(utc, up, strict=True) if shown]


# ERFA warns of years for which it knows no leap seconds yet.
@pytest.mark.filterwarnings("ignore:ERFA function:erfa.ErfaWarning")
@pytest.mark.parametrize("site", SITES, ids=lambda site: site.name)
def test_places_agree_with_erfa(site: Site) -> None:
    ra_hours, dec_deg, utc = random_evenings(site)
    assert len(utc) > 150
    airless = airless_directions(site, ra_hours, dec_deg, utc)
    seen = refracted(airless)
    for direction, pressure in ((airless, 0.0), (seen, 1010.0)):
        alt_deg, az_deg = erfa_alt_az_deg(site, ra_hours, dec_deg, utc, pressure)
        alt, az = np.radians(alt_deg), np.radians(az_deg)
        expected = np.stack([np.cos(alt) * np.cos(az), np.cos(alt) * np.sin(az), np.sin(alt)], axis=-1)
        apart_arcmin = np.degrees(np.linalg.norm(direction - expected, axis=-1)) * 60
        # UT1 is not known to either side in the same way: up to 0.2 s, 0.05'; two refraction models: 0.03'.
        assert np.max(apart_arcmin) < 0.1


@pytest.mark.filterwarnings("ignore:ERFA function:erfa.ErfaWarning")
def test_approximate_altitudes_are_good_enough_for_choosing() -> None:
    site = SITES[1]
    ra_hours, dec_deg, utc = random_evenings(site)
    seconds = np.array([seconds_since_j2000(when) for when in utc])
    date_ra, date_dec = erfa_place_of_date_deg(ra_hours, dec_deg, seconds)
    alt_deg, _ = altitude_and_hour_angle(date_ra, date_dec, seconds, site)
    expected, _ = erfa_alt_az_deg(site, ra_hours, dec_deg, utc, 0.0)
    assert_allclose(alt_deg, expected, atol=0.02)


def erfa_place_of_date_deg(
    ra_hours: np.ndarray, dec_deg: np.ndarray, seconds: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    matrix = erfa.pmat06(2451545.0, seconds / 86_400.0)
    vector = erfa.s2c(np.radians(15 * ra_hours), np.radians(dec_deg))
    ra, dec = erfa.c2s(np.einsum("nij,nj->ni", matrix, vector))
    return np.degrees(ra), np.degrees(dec)


@pytest.mark.filterwarnings("ignore:ERFA function:erfa.ErfaWarning")
def test_sun_altitude_agrees_with_erfa() -> None:
    site = SITES[3]
    seconds = seconds_since_j2000(datetime(2025, 1, 1, tzinfo=UTC)) + np.arange(0, 4.0e7, 3.7e5)
    heliocentric, _ = erfa.epv00(2451545.0, seconds / 86_400.0)
    ra, dec = erfa.c2s(-heliocentric["p"])
    utc = [J2000 + timedelta(seconds=float(value)) for value in seconds]
    expected, _ = erfa_alt_az_deg(site, np.degrees(ra) / 15, np.degrees(dec), utc, 0.0)
    up = expected > -89
    assert_allclose(sun_altitude_deg(seconds, site)[up], expected[up], atol=0.03)


def test_moon_is_darkest_at_new_moon() -> None:
    """New Moon 2024-01-11 11:57 UTC, full Moon 2024-01-25 17:54 UTC (from memory; good to the day)."""
    assert moon_darkness(date(2024, 1, 11)) > 0.98
    assert moon_darkness(date(2024, 1, 25)) < 0.02


def test_midsummer_night_is_never_dark_far_north_and_winter_is_long() -> None:
    far_north = Site("far north", 66.0, 15.0, 0, "Europe/Oslo")
    assert dark_hours(date(2026, 6, 21), far_north) is None
    winter = dark_hours(date(2026, 12, 21), far_north)
    assert winter is not None
    assert winter[1] - winter[0] > timedelta(hours=13)


def test_summer_time_is_known_by_zone() -> None:
    july, january = datetime(2026, 7, 1, tzinfo=UTC), datetime(2026, 1, 1, tzinfo=UTC)
    assert (summer_time_hours(july, "Europe/London"), summer_time_hours(january, "Europe/London")) == (1, 0)
    assert (summer_time_hours(july, "Pacific/Auckland"), summer_time_hours(january, "Pacific/Auckland")) == (
        0,
        1,
    )


def test_proper_motion_moves_arcturus_south() -> None:
    """Arcturus moves 2.0" a year southward (Hipparcos): 52" in 26 years."""
    table = stars()
    row = table.row_of["Arcturus"]
    _, dec_deg = table.moved_to(row, 26 * 365.25 * 86_400)
    assert_allclose((table.dec_deg[row] - dec_deg) * 3600, 52.0, atol=0.1)
