"""The course of a night: against places computed one by one, and the transit and dusk found by themselves."""

from datetime import UTC, datetime

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.sky.evening.night_course import STEP, night_course
from obslog.sky.evening.rising import rise_transit_set
from obslog.sky.evening.twilight import twilight
from obslog.sky.names.lookup import find_in_sky
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import target_of, target_places
from obslog.sky.places.instants import as_datetime64
from obslog.values import Place

NOON = as_datetime64(datetime(2026, 3, 2, 12, tzinfo=UTC))
FENS = Place(52.2, 0.1, 10.0)


@pytest.mark.parametrize("name", ["Vega", "M 31", "Jupiter", "Moon"])
def test_each_altitude_is_that_of_the_place_computed_afresh(name: str) -> None:
    target = target_of(find_in_sky(name).thing)
    found = night_course(target, NOON, FENS)
    some = np.arange(0, found.when_utc.size, 29)
    when = found.when_utc[some]
    afresh = target_places(target, when, FENS).alt_deg
    up = afresh > 0
    assert up.any()
    assert_allclose(found.alt_deg[some][up], afresh[up], atol=2e-4)
    assert_allclose(found.moon_alt_deg[some], target_places(Body.MOON, when, FENS).alt_deg, atol=2e-4)
    assert_allclose(
        found.sun_airless_alt_deg[some], target_places(Body.SUN, when, FENS).airless_alt_deg, atol=2e-4
    )


def test_it_goes_from_noon_to_noon_in_even_steps() -> None:
    when = night_course(Body.JUPITER, NOON, FENS).when_utc
    assert when[0] == NOON
    assert when[-1] - when[0] == np.timedelta64(24, "h")
    assert set(np.diff(when)) == {STEP}


def test_its_highest_is_the_transit_and_the_dark_begins_with_astronomical_dusk() -> None:
    regulus = target_of(find_in_sky("Regulus").thing)
    found = night_course(regulus, NOON, FENS)
    day = rise_transit_set(regulus, NOON, FENS)
    highest = int(np.argmax(found.alt_deg))
    assert abs(found.when_utc[highest] - day.transits_utc[0]) <= STEP
    assert found.alt_deg[highest] == pytest.approx(float(day.transit_alt_deg[0]), abs=0.01)
    dusk = twilight(NOON, FENS).astronomical_dusk
    assert dusk is not None
    first_dark = found.when_utc[int(np.argmax(found.sun_airless_alt_deg < -18))]
    assert np.timedelta64(0, "s") <= first_dark - dusk <= STEP


def test_the_moon_of_a_night_with_a_known_full_moon_is_full() -> None:
    """Full Moon on 2026-03-03 at 11:38 UTC, with a total eclipse (Espenak and Meeus, Five Millennium Canon)."""
    found = night_course(Body.JUPITER, NOON, FENS)
    assert found.moon_illuminated > 0.99
    assert found.moon_phase == "full Moon"
