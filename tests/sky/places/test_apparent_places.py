"""Places of one and of many, at one instant and at many, and at the edges of the Earth and the sky."""

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from obslog.sky.names.star_tables import all_stars
from obslog.sky.names.stars import find_star
from obslog.sky.places.apparent_places import (
    Directions,
    ShapesDiffer,
    apparent_places,
    directions_of,
)
from obslog.sky.places.refraction import Air
from obslog.sky.places.sphere import separation_deg
from obslog.values import Place
from tests.sky.sidereal_time import local_sidereal_hours

HERE = Place(54.6, -3.1, 180)
NIGHT = np.datetime64("2026-11-25T18:00", "us") + np.arange(30) * np.timedelta64(20, "m")
COLUMNS = ("ra_hours", "dec_deg", "hour_angle_hours", "airless_alt_deg", "az_deg", "alt_deg")


def test_one_many_and_pairs_agree() -> None:
    stars = all_stars()[:30]
    pairs = apparent_places(directions_of(stars), NIGHT, HERE)
    for column in COLUMNS:
        assert getattr(pairs, column).shape == (30,)
    for k in (0, 7, 29):
        at_one_time = apparent_places(directions_of(stars), NIGHT[k], HERE)
        of_one_star = apparent_places(directions_of(stars[k]), NIGHT, HERE)
        single = apparent_places(directions_of(stars[k]), NIGHT[k], HERE)
        for column in COLUMNS:
            expected = getattr(pairs, column)[k]
            assert getattr(single, column).shape == ()
            assert_allclose(getattr(at_one_time, column)[k], expected, rtol=0, atol=1e-11)
            assert_allclose(getattr(of_one_star, column)[k], expected, rtol=0, atol=1e-11)
            assert_allclose(getattr(single, column), expected, rtol=0, atol=1e-11)


def test_numbers_that_cannot_be_paired_are_refused() -> None:
    with pytest.raises(ShapesDiffer, match="3 objects"):
        apparent_places(directions_of(all_stars()[:3]), NIGHT, HERE)


def test_no_stars_give_no_places() -> None:
    assert apparent_places(directions_of([]), NIGHT[0], HERE).alt_deg.shape == (0,)


def test_nan_gives_nan_and_spoils_no_neighbour() -> None:
    good = apparent_places(Directions([5.0, 6.0], [20.0, 30.0]), NIGHT[0], HERE)
    mixed = apparent_places(Directions([5.0, np.nan, 6.0], [20.0, 20.0, 30.0]), NIGHT[0], HERE)
    for column in COLUMNS:
        assert_array_equal(np.isnan(getattr(mixed, column)), [False, True, False])
        assert_allclose(getattr(mixed, column)[[0, 2]], getattr(good, column), rtol=0, atol=1e-12)


def test_a_star_at_the_zenith() -> None:
    sidereal = local_sidereal_hours(NIGHT[0], HERE)
    # A first guess of the catalogue place overhead, corrected once by how far its apparent place is off.
    guess = apparent_places(Directions(sidereal, HERE.lat_deg), NIGHT[0], HERE)
    overhead = Directions(
        sidereal + (sidereal - guess.ra_hours), HERE.lat_deg + (HERE.lat_deg - float(guess.dec_deg))
    )
    seen = apparent_places(overhead, NIGHT[0], HERE)
    assert_allclose(seen.alt_deg, 90.0, rtol=0, atol=1e-3)
    assert_allclose(seen.hour_angle_hours, 0.0, rtol=0, atol=1e-3)


def test_a_star_at_the_celestial_pole_stands_at_the_latitude() -> None:
    # Precession since 2000 and aberration move the catalogue's pole from the pole of date by under 0.2 deg.
    seen = apparent_places(Directions(0.0, 90.0), NIGHT, HERE)
    assert_allclose(seen.airless_alt_deg, HERE.lat_deg, rtol=0, atol=0.2)
    assert np.all(np.isfinite(seen.az_deg))


@pytest.mark.parametrize("lat_deg", [90.0, -90.0])
def test_at_the_poles_of_the_earth_altitude_is_declination(lat_deg: float) -> None:
    seen = apparent_places(directions_of(all_stars()[:50]), NIGHT[0], Place(lat_deg, 0))
    assert_allclose(seen.airless_alt_deg, seen.dec_deg * np.sign(lat_deg), rtol=0, atol=1e-9)


def test_the_date_line_is_no_seam() -> None:
    vega = directions_of(find_star("Vega"))
    east, west = (apparent_places(vega, NIGHT, Place(-17.0, lon)) for lon in (180.0, -180.0))
    assert_allclose(separation_deg(east.az_deg, east.alt_deg, west.az_deg, west.alt_deg), 0, atol=1e-9)


def test_southern_skies_turn_the_other_way() -> None:
    # From the far south a circumpolar star goes clockwise about the pole: its azimuth grows above it.
    star = directions_of(find_star("sigma Octantis"))
    seen = apparent_places(star, NIGHT, Place(-45, 170))
    assert_allclose(seen.az_deg, 180, rtol=0, atol=2)
    upper = np.abs(seen.hour_angle_hours[:-1]) < 6
    assert np.all(np.diff(seen.az_deg)[upper] > 0)


def test_air_lifts_and_no_air_does_not() -> None:
    stars = directions_of(all_stars()[:100])
    seen = apparent_places(stars, NIGHT[0], HERE)
    up = seen.airless_alt_deg > 0
    assert np.all(seen.alt_deg[up] >= seen.airless_alt_deg[up])
    vacuum = apparent_places(stars, NIGHT[0], HERE, Air(0.0))
    assert_array_equal(vacuum.alt_deg, vacuum.airless_alt_deg)


def test_thin_air_on_a_mountain_lifts_less() -> None:
    low, high = (
        apparent_places(directions_of(find_star("Sirius")), NIGHT[20:], Place(28.3, -16.5, h))
        for h in (0, 2400)
    )
    lift_low, lift_high = low.alt_deg - low.airless_alt_deg, high.alt_deg - high.airless_alt_deg
    up = low.airless_alt_deg > 5
    assert up.any()
    assert np.all(lift_high[up] < 0.8 * lift_low[up])
