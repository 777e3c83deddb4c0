"""A followed target stands where each of its places, computed afresh, says."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.sky.names.solar_system import Body
from obslog.sky.names.stars import find_star
from obslog.sky.places.apparent_places import Directions, directions_of
from obslog.sky.places.ephemeris import Target, body_disc, target_places
from obslog.sky.places.kernel import DateOutsideEphemeris, Instants
from obslog.sky.places.sphere import separation_deg
from obslog.sky.places.tracks import Track, track_of
from obslog.values import Place

DAY = np.timedelta64(1, "D")
HERE, HIGH_UP, AT_THE_POLE = Place(54.6, -3.1, 180), Place(-0.2, -78.5, 2800), Place(-89.9, 0, 2800)
NOON = np.datetime64("2026-11-25T12:00", "us")
LEAP_SECOND, FIRST_OF_UTC = np.datetime64("2016-12-31T23:59", "us"), np.datetime64("1972-01-01T00:00", "us")

TARGETS: dict[str, Target] = {
    "Vega": directions_of(find_star("Vega")),
    "Polaris": directions_of(find_star("Polaris")),
    "Barnard's Star": directions_of(find_star("Barnard's Star")),
    "a galaxy": Directions(0.712, 41.27),
    **{body.value: body for body in (Body.SUN, Body.MOON, Body.VENUS, Body.JUPITER)},
}


def scattered(begin: np.datetime64, days: float, count: int = 200) -> Instants:
    """Instants in a span, in no even order, and its ends."""
    random = np.random.default_rng(20261128)
    inside = (random.uniform(0, days, count) * 86400e6).astype("timedelta64[us]")
    return np.array([begin, *(begin + inside), begin + np.timedelta64(round(days * 86400), "s")])


def worst_arcsec(track: Track, target: Target, when: Instants, place: Place) -> float:
    afresh, (alt_deg, az_deg) = target_places(target, when, place), track.airless_alt_az_deg(when)
    return float(separation_deg(az_deg, alt_deg, afresh.az_deg, afresh.airless_alt_deg).max() * 3600)


@pytest.mark.parametrize("name", TARGETS)
@pytest.mark.parametrize("place", [HERE, HIGH_UP, AT_THE_POLE])
@pytest.mark.parametrize(
    ("begin", "days"),
    [(NOON, 1.1), (NOON, 365), (LEAP_SECOND - 4 * DAY, 9), (FIRST_OF_UTC - 30 * DAY, 60)],
)
def test_a_track_is_where_each_place_is_computed_afresh(
    name: str, place: Place, begin: np.datetime64, days: float
) -> None:
    target, when = TARGETS[name], scattered(begin, days)
    track = track_of(target, begin, when[-1], place)
    assert worst_arcsec(track, target, when, place) < 0.02


@pytest.mark.parametrize("name", ["Vega", "Moon", "Jupiter"])
def test_the_meridian_and_the_distance_are_the_same_too(name: str) -> None:
    target, when = TARGETS[name], scattered(NOON, 60)
    track = track_of(target, NOON, when[-1], HERE)
    hours = target_places(target, when, HERE).hour_angle_hours
    assert_allclose(track.westing(when), np.sin(np.radians(hours * 15)), rtol=0, atol=2e-7)
    if isinstance(target, Body):
        distance = body_disc(target, when, HERE).distance_au
        # An apparent distance is changed by the yearly aberration, by the Earth's speed over that of light.
        assert_allclose(track.distance_au(when), distance, rtol=1.1e-4)


def test_a_planet_behind_the_sun_is_missed_by_no_more_than_the_sun_bends_light() -> None:
    # Uranus, May 2027, passes behind the Sun, which bends the light at its edge by 1.75".
    begin = np.datetime64("2027-05-15T00:00", "us")
    when = scattered(begin, 20)
    assert worst_arcsec(track_of(Body.URANUS, begin, when[-1], HERE), Body.URANUS, when, HERE) < 1.75


def test_what_lies_outside_the_ephemeris_is_refused() -> None:
    with pytest.raises(DateOutsideEphemeris):
        track_of(Body.MARS, np.datetime64("2053-10-01", "us"), np.datetime64("2053-11-01", "us"), HERE)
