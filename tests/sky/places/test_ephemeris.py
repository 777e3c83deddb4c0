"""Bodies have places and discs of the right shape and size."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.sky.names.solar_system import Body
from obslog.sky.names.stars import find_star
from obslog.sky.places.apparent_places import directions_of
from obslog.sky.places.ephemeris import body_disc, body_places, target_places
from obslog.values import Place

HERE = Place(52.2, 0.1)
NIGHTS = np.datetime64("2026-01-01", "us") + np.arange(0, 730, 5) * np.timedelta64(1, "D")

# Extremes of apparent equatorial diameters in arcseconds, from memory (handbooks), wide by a tenth.
DIAMETERS_ARCSEC = {
    Body.SUN: (1880, 1960), Body.MOON: (1740, 2050), Body.MERCURY: (4.4, 13.3), Body.VENUS: (9.5, 66.5),
    Body.MARS: (3.4, 25.5), Body.JUPITER: (29.5, 50.5), Body.SATURN: (14.4, 21.0), Body.URANUS: (3.2, 4.2),
    Body.NEPTUNE: (2.1, 2.5),
}  # fmt: skip
# Extremes of visual magnitude from the same.
MAGNITUDES = {
    Body.MERCURY: (-2.6, 7.3), Body.VENUS: (-5.0, -2.8), Body.MARS: (-3.0, 2.0), Body.JUPITER: (-3.0, -1.5),
    Body.SATURN: (-0.6, 1.4), Body.URANUS: (5.3, 6.1), Body.NEPTUNE: (7.6, 8.1),
}  # fmt: skip


@pytest.mark.parametrize("body", list(Body))
def test_sizes_are_those_of_the_handbooks(body: Body) -> None:
    low, high = DIAMETERS_ARCSEC[body]
    diameter = body_disc(body, NIGHTS, HERE).diameter_arcsec
    assert diameter.shape == NIGHTS.shape
    assert low < diameter.min() < diameter.max() < high


@pytest.mark.parametrize("body", list(MAGNITUDES))
def test_magnitudes_are_those_of_the_handbooks(body: Body) -> None:
    magnitude = body_disc(body, NIGHTS).magnitude
    magnitude = magnitude[np.isfinite(magnitude)]
    low, high = MAGNITUDES[body]
    assert magnitude.size > 100
    assert low < magnitude.min() < magnitude.max() < high


def test_sun_and_moon_have_no_magnitude_and_the_sun_no_phase() -> None:
    assert np.isnan(body_disc(Body.SUN, NIGHTS).illuminated).all()
    assert np.isnan(body_disc(Body.MOON, NIGHTS).magnitude).all()


def test_one_instant_gives_numbers_without_axes() -> None:
    assert body_places(Body.MARS, NIGHTS[0], HERE).alt_deg.shape == ()
    assert body_disc(Body.MARS, NIGHTS[0], HERE).diameter_arcsec.shape == ()


def test_one_call_for_many_instants_agrees_with_one_by_one() -> None:
    together = body_places(Body.MOON, NIGHTS[:5], HERE)
    for k in range(5):
        assert_allclose(
            together.alt_deg[k], body_places(Body.MOON, NIGHTS[k], HERE).alt_deg, rtol=0, atol=1e-10
        )


def test_the_moon_is_displaced_by_where_one_stands() -> None:
    # Its horizontal parallax is 54 to 61.5' (from memory).
    here, there = (body_places(Body.MOON, NIGHTS[0], place) for place in (Place(60, 0), Place(-60, 0)))
    assert 0.8 < float(there.dec_deg - here.dec_deg) < 2.1


def test_a_target_is_a_body_or_a_direction() -> None:
    vega = directions_of(find_star("Vega"))
    assert target_places(vega, NIGHTS, HERE).alt_deg.shape == NIGHTS.shape
    assert target_places(Body.SUN, NIGHTS, HERE).alt_deg.shape == NIGHTS.shape
