"""How high many targets stood at once."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import pytest

from obslog.club.night.plausibility import altitude_deg
from obslog.club.sky import altitudes
from obslog.club.sky.altitudes import LookedAt, altitudes_deg
from obslog.grammar.target_names import Target, target_as_written
from obslog.records.tables.logbook_tables import Site
from obslog.sky.names.solar_system import Body
from obslog.values import Place

AT = datetime(2026, 3, 20, 12, tzinfo=UTC)
GREENWICH = Place(51.48, 0.0)


def test_the_sun_at_the_equinox_and_the_pole_stand_where_geometry_puts_them() -> None:
    """At noon of the equinox the Sun is 90° - 51.5° = 38.5° high, the pole of the sky as high as the latitude."""
    looks = [LookedAt(target_as_written("Sun"), AT, GREENWICH), LookedAt(_pole(), AT, GREENWICH)]
    sun, pole = altitudes_deg(looks)
    assert sun is not None
    assert abs(sun - 38.5) < 0.3
    assert pole is not None
    assert abs(pole - 51.5) < 0.3


def test_each_is_as_high_as_when_it_is_asked_for_alone() -> None:
    site = Site(name="Field", name_key="field", lat_deg=51.48, lon_deg=0.0)
    names = ("Moon", "Jupiter", "M 81", "Vega", "Moon", "Old Smudge", "Jupiter", "Moon")
    looks = [
        LookedAt(target_as_written(name), AT + timedelta(hours=7 * place), GREENWICH)
        for place, name in enumerate(names)
    ]
    assert altitudes_deg(looks) == [altitude_deg(look.target, look.at_utc, site) for look in looks]


def test_where_the_place_is_unknown_or_the_ephemeris_ends_nothing_is_known_and_the_rest_is() -> None:
    moon = target_as_written("Moon")
    before = datetime(1850, 1, 1, tzinfo=UTC)
    unknown, nowhere, old, now = altitudes_deg(
        [
            LookedAt(Target(name="Old Smudge", known=False), AT, GREENWICH),
            LookedAt(moon, AT, None),
            LookedAt(moon, before, GREENWICH),
            LookedAt(moon, AT, GREENWICH),
        ]
    )
    assert (unknown, nowhere, old) == (None, None, None)
    assert now is not None


def test_a_body_is_asked_for_once_whatever_the_number_of_nights(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[int] = []

    def counted(_body: Body, instants: Sequence[datetime], _place: Place) -> list[float]:
        asked.append(len(instants))
        return [0.0] * len(instants)

    monkeypatch.setattr(altitudes, "body_alts_deg", counted)
    moon = target_as_written("Moon")
    altitudes_deg([LookedAt(moon, AT + timedelta(days=night), GREENWICH) for night in range(200)])
    assert asked == [200]


def _pole() -> Target:
    return Target(name="Pole", known=True, ra_hours=0.0, dec_deg=90.0)
