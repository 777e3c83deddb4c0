"""Moon and planets in a catalogue stand where the ephemeris has them."""

import numpy as np
from numpy.testing import assert_allclose

from obslog.sky.evening.moving_bodies import WANDERERS, elongations_deg, wanderers
from obslog.sky.names.solar_system import Body
from obslog.sky.places.apparent_places import apparent_places
from obslog.sky.places.ephemeris import body_places
from obslog.values import Place

MILL_FIELD = Place(52.2, 0.12, 20)
MIDNIGHT = np.datetime64("2026-03-03T00:00", "us")


def test_as_fixed_things_they_stand_where_the_bodies_do_at_that_instant() -> None:
    """The light that the Sun bends is left to the fixed things' own computation: under 0.01 deg away from the Sun."""
    there = apparent_places(wanderers(MIDNIGHT, MILL_FIELD).directions, MIDNIGHT, MILL_FIELD)
    for index, body in enumerate(WANDERERS):
        bodies = body_places(body, MIDNIGHT, MILL_FIELD)
        assert_allclose(there.airless_alt_deg[index], bodies.airless_alt_deg, atol=0.01)
        assert_allclose(there.az_deg[index], bodies.az_deg, atol=0.02)


def test_what_they_move_in_half_a_night_is_what_is_said() -> None:
    earlier = MIDNIGHT - np.timedelta64(6, "h")
    there = apparent_places(wanderers(MIDNIGHT, MILL_FIELD).directions, earlier, MILL_FIELD)
    for index, body in enumerate(WANDERERS):
        off = abs(
            float(there.airless_alt_deg[index] - body_places(body, earlier, MILL_FIELD).airless_alt_deg)
        )
        assert off < (7 if body is Body.MOON else 1)


def test_the_full_moon_of_march_2026_was_opposite_to_the_sun() -> None:
    """Full Moon on 2026 March 3 at 11:38 UT, in a total eclipse (from memory): 180 deg but for 1."""
    when = np.array(["2026-03-03T11:38"], "datetime64[us]")
    assert elongations_deg(("Moon",), when, Place(0, 180))[0] > 178
    assert np.isnan(elongations_deg(("M 31",), when, MILL_FIELD)[0])
