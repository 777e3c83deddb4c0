"""What is said of a plan by day. On the equator at the March equinox the Sun's centre goes straight down.

It crosses the meridian at 12:07:30 UTC there (equation of time -7.5 min, 20 March 2026),
and is 6° down 6 h 24 min later.
"""

import re
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.by_day import by_day_words
from obslog.values import Place

EQUATOR = ObservingSite("Null Island", Place(0.0, 0.0, 0.0), ZoneInfo("UTC"))
CIVIL_DUSK = datetime(2026, 3, 20, 18, 31, 30, tzinfo=UTC)


def at(hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 3, 20, hour, minute, tzinfo=UTC)


@pytest.mark.parametrize("instant", [at(8), at(12), at(18, 15), at(18, 29)])
def test_by_day_it_is_said_when_the_first_stars_are_seen_of_the_same_date(instant: datetime) -> None:
    words = by_day_words(EQUATOR, instant) or ""
    assert words.startswith(f"It is too light for stars at {instant:%H:%M}. The first are seen from ")
    found = re.search(r'--at "(2026-03-20 \d\d:\d\d)"$', words)
    assert found is not None, words
    shown = datetime.fromisoformat(found[1]).replace(tzinfo=UTC)
    assert timedelta(0) <= shown - CIVIL_DUSK <= timedelta(minutes=2)
    assert by_day_words(EQUATOR, shown) is None  # what is to be typed leads to stars


@pytest.mark.parametrize("instant", [at(18, 34), at(22), at(4)])
def test_of_a_plan_when_stars_are_seen_nothing_is_said(instant: datetime) -> None:
    assert by_day_words(EQUATOR, instant) is None


def test_where_it_does_not_get_dark_no_time_is_promised() -> None:
    far_north = ObservingSite("Far North", Place(78.0, 15.0, 0.0), ZoneInfo("Arctic/Longyearbyen"))
    midsummer = datetime(2026, 6, 21, 20, tzinfo=UTC)
    assert by_day_words(far_north, midsummer) == "It is too light for stars at 22:00."
