"""An axis of hours: by the clock of the site, few labels, also when the clocks change."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from matplotlib.figure import Figure

from obslog.report.pictures.time_axis import MOST_LABELS
from obslog.report.sky_pictures.hours_axis import clock_hours, hour_number, over_hours

LONDON, NEPAL = ZoneInfo("Europe/London"), ZoneInfo("Asia/Kathmandu")
DUSK = datetime(2026, 11, 20, 16, 7, tzinfo=UTC)


@pytest.mark.parametrize("hours", [0.5, 3, 7, 14, 24])
def test_labels_are_few_whole_and_inside(hours: float) -> None:
    for zone in (LONDON, NEPAL):
        ticks = clock_hours(DUSK, DUSK + timedelta(hours=hours), zone)
        assert len(ticks) <= MOST_LABELS
        assert all(DUSK <= tick <= DUSK + timedelta(hours=hours) for tick in ticks)
        assert all(tick.astimezone(zone).minute == 0 for tick in ticks)


def test_a_zone_with_a_quarter_of_an_hour_has_its_own_whole_hours() -> None:
    """Nepal is 5 h 45 min ahead: 22:00 there is 16:15 in universal time."""
    assert clock_hours(DUSK, DUSK + timedelta(hours=1), NEPAL) == [datetime(2026, 11, 20, 16, 15, tzinfo=UTC)]


def test_an_hour_is_as_long_when_the_clocks_change() -> None:
    """In London 01:00 UTC on 25 October 2026 is the end of summer time: from 00:00 to 03:00 there are four hours."""
    start = datetime(2026, 10, 24, 23, tzinfo=UTC)
    ticks = clock_hours(start, start + timedelta(hours=4), LONDON)
    assert [f"{tick.astimezone(LONDON):%H:%M}" for tick in ticks] == [
        "00:00",
        "01:00",
        "01:00",
        "02:00",
        "03:00",
    ]
    assert hour_number(ticks[-1]) - hour_number(ticks[0]) == 4


def test_the_axis_reaches_from_the_first_instant_to_the_last() -> None:
    axes = Figure().add_subplot()
    over_hours(axes, DUSK, DUSK + timedelta(hours=6), LONDON)
    assert axes.get_xlim() == (hour_number(DUSK), hour_number(DUSK) + 6)
    assert [tick.get_text() for tick in axes.get_xticklabels()] == [
        "17:00", "18:00", "19:00", "20:00", "21:00", "22:00"
    ]  # fmt: skip
