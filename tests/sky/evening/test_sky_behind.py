"""The sky behind things at their instants, against the formulas at places that the ephemeris gives one by one."""

import numpy as np
from numpy.testing import assert_allclose

from obslog.sky.contrast.moonlight import (
    dark_sky_nl,
    mag_per_arcsec2,
    moonlight_nl,
)
from obslog.sky.evening.sky_behind import sky_behind
from obslog.sky.names.solar_system import Body
from obslog.sky.names.stars import find_star
from obslog.sky.places.apparent_places import directions_of
from obslog.sky.places.ephemeris import body_places, target_places
from obslog.sky.places.sphere import separation_deg
from obslog.values import Place

HERE = Place(52.2, 0.12)
STARS = [find_star(name) for name in ("Regulus", "Capella", "Dubhe")]
FULL = np.array(["2026-03-02T21:00", "2026-03-02T23:30", "2026-03-02T21:00"], "datetime64[us]")
"""The Moon was full on 3 March 2026 at 11:38, some 12 deg from Regulus."""


def test_each_sky_is_that_of_its_own_place_and_instant() -> None:
    found = sky_behind(directions_of(STARS), FULL, HERE, 21.0)
    for n, (star, when) in enumerate(zip(STARS, FULL, strict=True)):
        there = target_places(directions_of(star), when[None], HERE)
        moon = body_places(Body.MOON, when[None], HERE)
        apart = separation_deg(there.az_deg, there.airless_alt_deg, moon.az_deg, moon.airless_alt_deg)
        zenith = 90 - there.airless_alt_deg
        dark = dark_sky_nl(21.0, zenith)
        # The elongation from the Sun was 172 to 174 deg that evening: a phase angle of 6 to 8.
        light = moonlight_nl(7.0, apart, 90 - moon.airless_alt_deg, zenith)
        assert_allclose(found.dark_mag[n], mag_per_arcsec2(dark)[0], atol=0.01)
        assert_allclose(found.lit_mag[n], mag_per_arcsec2(dark + light)[0], atol=0.06)
    assert found.moonlight_mag[0] > found.moonlight_mag[1] > 1.0
    assert_allclose(found.without_moon().moonlight_mag, 0.0)


def test_without_a_moon_the_sky_is_the_sites_own() -> None:
    new_moon = np.full(3, np.datetime64("2026-03-18T21:00", "us"))
    found = sky_behind(directions_of(STARS), new_moon, HERE, 21.0)
    assert_allclose(found.moonlight_mag, 0.0, atol=1e-12)
    assert np.all(np.abs(found.dark_mag - 21.0) < 0.5)


def test_low_things_lose_more_to_the_air_and_what_is_down_is_taken_as_at_the_horizon() -> None:
    stars = directions_of([find_star("Dubhe"), find_star("Canopus")])
    found = sky_behind(stars, FULL[:2], HERE, 21.0)
    # 0.25 mag for each air that is looked through: 1 at the zenith, 5 at the horizon
    assert 0.25 <= found.extinction_mag[0] < 0.4
    assert_allclose(found.extinction_mag[1], 1.25, atol=1e-6)


def test_no_things_have_no_sky() -> None:
    none = directions_of([])
    assert sky_behind(none, FULL[:0], HERE, 21.0).lit_mag.shape == (0,)
