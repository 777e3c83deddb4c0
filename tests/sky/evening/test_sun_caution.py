"""The solar caution is given whenever it must be."""

import numpy as np
import pytest
from numpy.testing import assert_array_equal

from obslog.sky.evening.sun_caution import REACH_DEG, in_reach_of_sun, solar_caution
from obslog.sky.names.solar_system import Body
from obslog.sky.names.stars import find_star
from obslog.sky.places.apparent_places import Directions, apparent_places, directions_of
from obslog.sky.places.ephemeris import body_places
from obslog.values import Place
from obslog.vocabulary.cautions import Danger

HERE = Place(52.2, 0.1)
DAY, DUSK, NIGHT = (np.datetime64(f"2026-11-25T{clock}", "us") for clock in ("12:00", "16:10", "23:00"))
VEGA = directions_of(find_star("Vega"))


def test_the_sun_always_needs_it() -> None:
    for when in (DAY, DUSK, NIGHT):
        caution = solar_caution(Body.SUN, when, HERE)
        assert caution is not None
        assert caution.danger is Danger.THE_SUN


def test_by_day_everything_needs_it() -> None:
    caution = solar_caution(VEGA, DAY, HERE)
    assert caution is not None
    assert caution.danger is Danger.DAYTIME
    assert caution.separation_deg > REACH_DEG


def test_after_sunset_nothing_else_needs_it() -> None:
    assert solar_caution(VEGA, DUSK, HERE) is None
    # Antares is 12 deg from the Sun on that day, but the Sun is down.
    assert solar_caution(directions_of(find_star("Antares")), NIGHT, HERE) is None


@pytest.mark.parametrize(("offset_deg", "danger"), [(19.5, Danger.NEAR_THE_SUN), (20.5, Danger.DAYTIME)])
def test_twenty_degrees_are_the_limit(offset_deg: float, danger: Danger) -> None:
    sun = body_places(Body.SUN, DAY, HERE)
    beside = Directions(float(sun.ra_hours), float(sun.dec_deg) + offset_deg)
    caution = solar_caution(beside, DAY, HERE)
    assert caution is not None
    assert caution.danger is danger
    assert abs(caution.separation_deg - offset_deg) < 0.4  # precession since 2000


def test_over_several_instants_the_worst_counts() -> None:
    caution = solar_caution(VEGA, np.array([NIGHT, DAY]), HERE)
    assert caution is not None
    assert caution.danger is Danger.DAYTIME
    assert solar_caution(VEGA, np.array([NIGHT, DUSK]), HERE) is None


def test_an_unknown_direction_is_taken_as_dangerous() -> None:
    caution = solar_caution(Directions(np.nan, 10.0), DAY, HERE)
    assert caution is not None
    assert caution.danger is Danger.NEAR_THE_SUN


def test_many_objects_are_judged_one_by_one() -> None:
    sun = body_places(Body.SUN, DAY, HERE)
    many = apparent_places(
        Directions([float(sun.ra_hours), 3.0, np.nan], [float(sun.dec_deg), 50.0, 0.0]), DAY, HERE
    )
    assert_array_equal(in_reach_of_sun(many, sun), [True, False, True])
    dark = body_places(Body.SUN, NIGHT, HERE)
    assert not in_reach_of_sun(many, dark).any()


def test_every_sentence_says_what_to_do() -> None:
    assert all("cap" in danger.value and danger.value.endswith(".") for danger in Danger)
