"""Dark windows of a whole catalogue agree with those found one by one by root finding."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.horizon import hidden_alts_deg, read_horizon
from obslog.sky.evening.dark_windows import Dark, NotDark, dark_spell, dark_windows
from obslog.sky.evening.object_arrays import listed_objects
from obslog.sky.evening.visibility import observable_nights
from obslog.sky.names.solar_system import Body
from obslog.sky.places.apparent_places import Directions, apparent_places
from obslog.sky.places.ephemeris import body_places
from obslog.sky.places.sphere import separation_deg
from obslog.values import Place

MILL_FIELD = Place(52.2, 0.12, 20)
NOON = np.datetime64("2026-03-02T12:00", "us")
STEP = np.timedelta64(10, "m")


def test_windows_are_within_a_step_of_those_found_one_by_one() -> None:
    messier = listed_objects("messier")
    spell, dark = dark_spell(NOON, MILL_FIELD, NOON)
    assert dark is Dark.NIGHT
    windows = dark_windows(messier.directions, spell, MILL_FIELD, 30)
    compared = 0
    for k in range(0, 110, 7):
        target = Directions(float(messier.ra_hours[k]), float(messier.dec_deg[k]))
        night = observable_nights(target, NOON, MILL_FIELD, sun_below_deg=(-18.0,))[0]
        assert windows.ever[k] == bool(night.spells) or night.hours < 1 / 6
        if windows.ever[k] and len(night.spells) == 1:
            assert abs(windows.from_utc[k] - night.spells[0].from_utc) <= STEP
            assert abs(windows.until_utc[k] - night.spells[0].until_utc) <= STEP
            assert_allclose(windows.best_alt_deg[k], night.best_alt_deg, atol=0.2)
            compared += 1
    assert compared > 5


def test_the_distance_from_the_moon_is_that_of_places_computed_afresh() -> None:
    messier = listed_objects("messier")
    spell, _ = dark_spell(NOON, MILL_FIELD, NOON)
    windows = dark_windows(messier.directions, spell, MILL_FIELD, 30)
    there = apparent_places(messier.directions, windows.best_utc, MILL_FIELD)
    moon = body_places(Body.MOON, windows.best_utc, MILL_FIELD)
    afresh = separation_deg(there.ra_hours * 15, there.dec_deg, moon.ra_hours * 15, moon.dec_deg)
    assert_allclose(windows.moon_deg, afresh, atol=0.01)


def test_a_dark_spell_begins_when_it_is_asked_for_and_not_before() -> None:
    asked = np.datetime64("2026-03-02T23:00", "us")
    spell, _ = dark_spell(NOON, MILL_FIELD, asked)
    assert spell.from_utc == asked
    with pytest.raises(NotDark, match="from then until the next noon"):
        dark_spell(NOON, MILL_FIELD, np.datetime64("2026-03-03T09:00", "us"))


def test_after_the_end_of_night_the_twilight_that_is_left_is_told() -> None:
    """At 52 deg north in early March the Sun climbs from -18 to -12 deg in 36 minutes or so before 6:00."""
    night, _ = dark_spell(NOON, MILL_FIELD, NOON)
    left, dark = dark_spell(NOON, MILL_FIELD, night.until_utc)
    assert dark is Dark.TWILIGHT
    assert left.from_utc == night.until_utc
    assert 0.5 < left.hours < 0.75


def test_a_summer_night_has_twilight_only_and_a_polar_day_nothing() -> None:
    midsummer = np.datetime64("2026-06-21T12:00", "us")
    assert dark_spell(midsummer, MILL_FIELD, midsummer)[1] is Dark.TWILIGHT
    with pytest.raises(NotDark):
        dark_spell(midsummer, Place(70.0, 20.0), midsummer)


def test_an_empty_catalogue_has_no_windows() -> None:
    spell, _ = dark_spell(NOON, MILL_FIELD, NOON)
    assert dark_windows(Directions(np.empty(0), np.empty(0)), spell, MILL_FIELD, 30).ever.size == 0


def test_what_hides_the_sky_is_left_out_instant_by_instant() -> None:
    """A wall in the south and west: each end and the best instant are where the full computation has them in sight."""
    messier, wall = listed_objects("messier"), read_horizon("0:0,150:0,170:55,300:55,320:0")
    spell, _ = dark_spell(NOON, MILL_FIELD, NOON)
    free = dark_windows(messier.directions, spell, MILL_FIELD, 30)
    walled = dark_windows(messier.directions, spell, MILL_FIELD, 30, wall)
    assert 10 < walled.ever.sum() < free.ever.sum()
    assert not (walled.ever & ~free.ever).any()
    seen = messier.only(np.flatnonzero(walled.ever))
    for when in (walled.from_utc, walled.best_utc, walled.until_utc):
        there = apparent_places(seen.directions, when[walled.ever], MILL_FIELD)
        hidden_deg = np.maximum(hidden_alts_deg(wall, there.az_deg), 30)
        assert (there.alt_deg > hidden_deg - 0.05).all()
