"""The Moon of an evening: its phase and when it is up, against the ephemeris and a published eclipse."""

import numpy as np
import pytest

from obslog.sky.evening.moon_in_dark import moon_in_dark
from obslog.sky.evening.visibility import Spell
from obslog.sky.names.solar_system import Body
from obslog.sky.places.ephemeris import body_places
from obslog.sky.places.moon import PhaseName
from obslog.values import Place

HERE = Place(52.2, 0.12)


def spell(begin: str, end: str) -> Spell:
    return Spell(np.datetime64(begin, "us"), np.datetime64(end, "us"))


def test_full_it_is_up_all_night_and_new_it_is_not() -> None:
    # A total eclipse of the Moon on 3 March 2026, new Moon on the 19th.
    full = moon_in_dark(spell("2026-03-02T20:00", "2026-03-03T04:30"), HERE)
    assert (full.phase, len(full.up)) == (PhaseName.FULL, 1)
    assert full.illuminated > 0.99
    assert full.up[0].hours == pytest.approx(8.5, abs=0.01)
    new = moon_in_dark(spell("2026-03-18T20:00", "2026-03-19T04:00"), HERE)
    assert (new.phase, new.up) == (PhaseName.NEW, ())
    assert new.illuminated < 0.01


def test_it_sets_where_its_upper_rim_does() -> None:
    # First quarter on 25 March 2026: it sets after midnight.
    night = spell("2026-03-24T20:00", "2026-03-25T04:00")
    found = moon_in_dark(night, HERE)
    assert len(found.up) == 1
    assert found.up[0].from_utc == night.from_utc
    sets = found.up[0].until_utc
    assert night.from_utc < sets < night.until_utc
    alt = body_places(Body.MOON, np.array([sets]), HERE).airless_alt_deg[0]
    assert alt == pytest.approx(-50 / 60, abs=0.02)
    assert 0.3 < found.illuminated < 0.6
