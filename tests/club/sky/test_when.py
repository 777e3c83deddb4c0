"""When something can be seen: in which night, in which months, and how high."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest
from numpy.testing import assert_allclose

from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.when import when_is
from obslog.errors import OutOfRange
from obslog.values import Place

LONDON = ObservingSite("Mill Field", Place(52.2, 0.12, 20.0), ZoneInfo("Europe/London"))
AN_HOUR_AFTER_MIDNIGHT = datetime(2026, 3, 3, 1, tzinfo=UTC)


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def test_the_night_is_that_of_its_evening_after_midnight_too() -> None:
    for instant in (utc("2026-03-02T23:00"), AN_HOUR_AFTER_MIDNIGHT):
        found = when_is(LONDON, "Vega", instant, year=False)
        assert found.night == date(2026, 3, 2)
        assert all(
            utc("2026-03-02T12:00") <= at < utc("2026-03-03T12:00")
            for at in (*found.rises_utc, *found.transits_utc, *found.sets_utc)
        )


def test_the_year_has_thirteen_months_or_twelve_and_knows_the_season() -> None:
    found = when_is(LONDON, "Betelgeuse", utc("2026-03-02T21:00"))
    months = {month.month: month for month in found.year}
    assert len(months) == 13
    assert next(iter(months)) == "2026-03"
    # In June the Sun stands beside it, about 16 degrees away: not seen dark above 30 degrees on any night.
    assert (months["2026-06"].nights, months["2026-06"].best_alt_deg) == (0, None)
    assert months["2026-12"].nights == 31
    # Its declination is +7.4: at most 90 - 52.2 + 7.4 degrees high.
    assert months["2026-12"].best_alt_deg is not None
    assert_allclose(months["2026-12"].best_alt_deg, 45.2, atol=0.3)


def test_what_never_rises_says_so() -> None:
    found = when_is(LONDON, "Canopus", utc("2026-03-02T21:00"), year=False)
    assert (found.course, found.rises_utc, found.best_utc, found.best_alt_deg) == (
        "never rises",
        [],
        None,
        None,
    )


def test_a_year_without_a_night_says_how_high_it_gets_in_the_dark() -> None:
    # Adhara's declination is -28.97: 90 - 52.2 - 28.97 = 8.8 degrees high, and 0.1 more by refraction.
    low = when_is(LONDON, "Adhara", utc("2026-03-02T21:00"))
    assert not any(month.nights for month in low.year)
    assert low.highest_in_dark_deg is not None
    assert_allclose(low.highest_in_dark_deg, 8.9, atol=0.1)
    sun = when_is(LONDON, "Sun", utc("2026-03-02T21:00"))
    assert (sun.highest_in_dark_deg, sum(month.nights for month in sun.year)) == (None, 0)
    high = when_is(LONDON, "Betelgeuse", utc("2026-03-02T21:00"))
    assert high.highest_in_dark_deg == max(month.best_alt_deg or 0.0 for month in high.year)


@pytest.mark.parametrize("above", [-1.0, 90.0, float("nan")])
def test_an_altitude_that_cannot_be_is_refused(above: float) -> None:
    with pytest.raises(OutOfRange):
        when_is(LONDON, "Vega", utc("2026-03-02T21:00"), above_deg=above)
