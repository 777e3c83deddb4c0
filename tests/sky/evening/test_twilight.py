"""Dusk and dawn come in order, or not at all where the Sun does not go low enough."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.sky.evening.twilight import Darkness, Twilight, darkness, twilight
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import body_places
from obslog.values import Place

DUSKS = ("sunset", "civil_dusk", "nautical_dusk", "astronomical_dusk")
DAWNS = ("astronomical_dawn", "nautical_dawn", "civil_dawn", "sunrise")


def test_a_winter_night_has_all_eight_in_order() -> None:
    place = Place(52.2, 0.1)
    night = twilight(np.datetime64("2026-12-21T12:00"), place)
    instants = np.array([getattr(night, name) for name in DUSKS + DAWNS], "datetime64[us]")
    assert np.all(np.diff(instants) > np.timedelta64(0))
    sun = body_places(Body.SUN, instants, place)
    assert_allclose(sun.airless_alt_deg, [-50 / 60, -6, -12, -18, -18, -12, -6, -50 / 60], rtol=0, atol=1e-3)
    assert night.darkest is Darkness.NIGHT


def test_a_summer_night_at_52_north_has_no_end_of_twilight() -> None:
    night = twilight(np.datetime64("2026-06-21T12:00"), Place(52.2, 0.1))
    assert night.nautical_dusk is not None
    assert night.astronomical_dusk is None
    assert night.astronomical_dawn is None
    # Midnight sun altitude: declination 23.44 less colatitude 37.8.
    assert_allclose(night.lowest_sun_alt_deg, 23.44 - 37.8, rtol=0, atol=0.1)
    assert night.darkest is Darkness.ASTRONOMICAL


def test_polar_day_and_polar_night() -> None:
    summer = twilight(np.datetime64("2026-06-21T11:00"), Place(70, 20))
    assert (summer.sun_never_sets, summer.sun_never_rises) == (True, False)
    assert summer.darkest is Darkness.DAY
    assert {getattr(summer, name) for name in DUSKS + DAWNS} == {None}
    winter = twilight(np.datetime64("2026-12-21T11:00"), Place(70, 20))
    assert (winter.sun_never_sets, winter.sun_never_rises) == (False, True)
    assert winter.sunset is None
    assert winter.astronomical_dusk is not None


def test_the_southern_midwinter_night_is_in_june() -> None:
    def hours(night: Twilight) -> float:
        assert night.sunset is not None
        assert night.sunrise is not None
        return float((night.sunrise - night.sunset) / np.timedelta64(1, "h"))

    place = Place(-37.8, 145.0)
    assert hours(twilight(np.datetime64("2026-06-21T02:00"), place)) > 14
    assert hours(twilight(np.datetime64("2026-12-21T02:00"), place)) < 10


@pytest.mark.parametrize(
    ("sun_alt_deg", "name"),
    [
        (10, Darkness.DAY),
        (-0.5, Darkness.DAY),
        (-3, Darkness.CIVIL),
        (-6.01, Darkness.NAUTICAL),
        (-12.01, Darkness.ASTRONOMICAL),
        (-18.01, Darkness.NIGHT),
        (float("nan"), Darkness.DAY),
    ],
)
def test_what_the_sky_is_called(sun_alt_deg: float, name: Darkness) -> None:
    assert darkness(sun_alt_deg) is name
