"""The hours in which a target can be observed, tonight and through the year."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.sky.evening.rising import airless_altitude_deg
from obslog.sky.evening.visibility import NightOf, Spell, common_spells, observable_nights
from obslog.sky.names.solar_system import Body
from obslog.sky.names.stars import find_star
from obslog.sky.places.apparent_places import directions_of
from obslog.sky.places.ephemeris import target_places
from obslog.values import Place

HERE = Place(52.2, 0.1)
NOON = np.datetime64("2026-11-25T12:00", "us")
JUPITER, VEGA, CANOPUS = Body.JUPITER, directions_of(find_star("Vega")), directions_of(find_star("Canopus"))


def spell(begin: int, stop: int) -> Spell:
    return Spell(NOON + np.timedelta64(begin, "h"), NOON + np.timedelta64(stop, "h"))


def test_spells_common_to_two_lists() -> None:
    first, second = [spell(0, 4), spell(6, 9)], [spell(1, 2), spell(3, 7), spell(8, 20)]
    assert common_spells(first, second) == [spell(1, 2), spell(3, 4), spell(6, 7), spell(8, 9)]
    assert common_spells(first, []) == []
    assert common_spells([spell(0, 1)], [spell(1, 2)]) == []


def test_tonight_agrees_with_a_look_at_every_minute() -> None:
    night = observable_nights(JUPITER, NOON, HERE, min_alt_deg=30.0)[0]
    when = NOON + np.arange(24 * 60) * np.timedelta64(1, "m")
    alt_deg = target_places(JUPITER, when, HERE).alt_deg
    good = (alt_deg >= 30) & (airless_altitude_deg(Body.SUN, when, HERE) <= -18)
    assert night.sun_below_deg == -18
    assert_allclose(night.hours, good.sum() / 60, atol=0.04)
    assert_allclose(night.best_alt_deg, alt_deg[good].max(), atol=0.01)
    assert night.best_utc is not None
    assert abs(night.best_utc - when[good][alt_deg[good].argmax()]) < np.timedelta64(3, "m")


def test_what_cannot_be_seen_has_no_best_time() -> None:
    night = observable_nights(CANOPUS, NOON, HERE)[0]
    assert night.spells == ()
    assert night.best_utc is None
    assert np.isnan(night.best_alt_deg)
    assert night.hours == 0


def test_any_hour_of_the_day_can_be_asked_for() -> None:
    night = observable_nights(VEGA, NOON, HERE, min_alt_deg=0.0, sun_below_deg=())[0]
    assert_allclose(night.hours, 24.0, atol=1e-9)  # circumpolar here


@pytest.mark.parametrize(
    ("noon", "lat_deg", "limit_deg"),
    # At midsummer the Sun's lowest altitude is 23.4 + latitude - 90: -14.4 at 52.2, -6.6 at 60.
    [("2026-06-21", 52.2, -12.0), ("2026-06-21", 60.0, None), ("2026-11-25", 52.2, -18.0)],
)
def test_dark_is_the_darkest_that_a_night_has(noon: str, lat_deg: float, limit_deg: float | None) -> None:
    place = Place(lat_deg, 0.1)
    (night,) = observable_nights(VEGA, np.datetime64(f"{noon}T12:00", "us"), place)
    assert night.sun_below_deg == limit_deg
    assert (night.hours > 0) == (limit_deg is not None)
    assert night.spells or night.best_utc is None


def test_what_hides_the_sky_is_not_in_sight() -> None:
    # Jupiter culminates in the south: behind a hill of 89 degrees from east to west nothing of its way is left.
    hill = ((60.0, 0.0), (61.0, 89.0), (299.0, 89.0), (300.0, 0.0))
    (free,) = observable_nights(JUPITER, NOON, HERE)
    (hidden,) = observable_nights(JUPITER, NOON, HERE, horizon=hill)
    assert (free.hours > 2, hidden.hours, hidden.best_utc) == (True, 0.0, None)
    # A flat horizon lower than the limit hides nothing more.
    (low,) = observable_nights(JUPITER, NOON, HERE, horizon=((0.0, 12.0),))
    assert_allclose(low.hours, free.hours, atol=1e-3)
    # A wall to the south-east, as far as 170 degrees, is a wait until the planet has passed it.
    (wall,) = observable_nights(
        JUPITER, NOON, HERE, horizon=((60.0, 89.0), (170.0, 89.0), (171.0, 0.0), (359.0, 0.0))
    )
    begin = wall.spells[0].from_utc
    assert 169.9 < float(target_places(JUPITER, begin, HERE).az_deg) < 171.1


@pytest.fixture(scope="module")
def year() -> list[NightOf]:
    return observable_nights(JUPITER, NOON, HERE, nights=365, min_alt_deg=30.0)


def test_through_the_year_each_night_is_as_when_asked_alone(year: list[NightOf]) -> None:
    assert len(year) == 365
    for k in (0, 100, 200, 364):
        alone = observable_nights(JUPITER, year[k].noon_utc, HERE, min_alt_deg=30.0)[0]
        assert_allclose(year[k].hours, alone.hours, atol=0.01)
        assert_allclose(year[k].best_alt_deg, alone.best_alt_deg, atol=0.01)


def test_a_planet_in_the_sun_cannot_be_seen(year: list[NightOf]) -> None:
    # Jupiter meets the Sun at the end of August 2027 (its longitude then is the Sun's).
    night = next(night for night in year if night.noon_utc == np.datetime64("2027-08-31T12:00"))
    assert night.hours == 0
    assert max(night.hours for night in year) > 7
