"""When a star can be synced on, and which stars of the plan are left."""

from datetime import UTC, datetime
from types import SimpleNamespace
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from obslog.club.live.tonights_plan import HARDLY_DARK, names_left, when_seen
from obslog.club.register.observing_site import ObservingSite
from obslog.values import Place
from obslog.vocabulary.arrivals import Role

# On the equator at the March equinox the Sun's centre goes straight down: 6 degrees at 18:31:30, and up at 5:43:30.
EQUATOR = ObservingSite("Null Island", Place(0.0, 0.0, 0.0), ZoneInfo("UTC"))
PLAN: Any = SimpleNamespace(stars=[SimpleNamespace(name=name) for name in ("Ankaa", "Alphard", "Sirius")])


def at(hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 3, 20, hour, minute, tzinfo=UTC)


def test_in_the_dark_it_is_now() -> None:
    for instant in (at(18, 40), at(23), at(5)):
        assert when_seen(EQUATOR, instant) == (instant, "")


@pytest.mark.parametrize("instant", [at(12, 30), at(16), at(18, 20)])
def test_before_dusk_it_is_dusk(instant: datetime) -> None:
    found = when_seen(EQUATOR, instant)
    assert found is not None
    dusk, words = found
    assert abs((dusk - at(18, 31)).total_seconds() - 30) < 60
    assert words in {f"from 18:{minute} on, as soon as it is dark enough, " for minute in (32, 33)}


def test_after_dawn_the_dusk_of_another_night_is_not_told() -> None:
    assert when_seen(EQUATOR, at(5, 55)) == (at(5, 55), HARDLY_DARK)
    assert when_seen(EQUATOR, at(9)) is None


def test_in_a_white_night_the_brightest_stars_are_seen_and_under_the_midnight_sun_none() -> None:
    at_midnight = datetime(2026, 6, 21, 22, tzinfo=UTC)
    white = ObservingSite("Fjord", Place(63.0, 15.0, 0.0), ZoneInfo("Europe/Stockholm"))
    assert when_seen(white, at_midnight.replace(hour=23)) == (at_midnight.replace(hour=23), HARDLY_DARK)
    far_north = ObservingSite("Far North", Place(78.0, 15.0, 0.0), ZoneInfo("Arctic/Longyearbyen"))
    assert when_seen(far_north, at_midnight) is None


def on_record(*arrivals: tuple[str, Role]) -> Any:
    return SimpleNamespace(on_record=[SimpleNamespace(target=star, role=role) for star, role in arrivals])


@pytest.mark.parametrize(
    ("arrivals", "left"),
    [
        ((), ["Ankaa", "Alphard", "Sirius"]),
        ((("Ankaa", Role.SYNC),), ["Alphard", "Sirius"]),
        ((("Ankaa", Role.SYNC), ("Alphard", Role.CHECK)), ["Sirius"]),
        ((("M 31", Role.GOTO),), ["Ankaa", "Alphard", "Sirius"]),
        ((("Ankaa", Role.SYNC), ("Vega", Role.SYNC)), []),
    ],
)
def test_the_plan_is_left_by_a_sync_on_another_star_alone(arrivals: Any, left: list[str]) -> None:
    assert names_left(PLAN, on_record(*arrivals)) == left


def test_without_a_plan_none_is_left() -> None:
    assert names_left(None, on_record()) == []
