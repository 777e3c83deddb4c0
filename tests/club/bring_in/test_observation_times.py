"""When a row was: by the site's clocks or in universal time, never guessed, never outside the night that is told."""

from datetime import UTC, date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from obslog.club.bring_in.observation_times import NoZoneForTime, TimeMissing, TwoTimes, row_instant
from obslog.errors import ObslogError
from obslog.grammar.typed_times import AmbiguousTime, OutsideNight
from obslog.times import FutureTime

NOW = datetime(2026, 11, 20, 12, tzinfo=UTC)
BERLIN = ZoneInfo("Europe/Berlin")
NIGHT = date(2026, 3, 2)


def instant(**values: Any) -> str:
    return row_instant(values, "Mill Field", BERLIN, NOW).isoformat()


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ({"night": NIGHT, "time": time(21, 5)}, "2026-03-02T20:05:00+00:00"),
        ({"night": NIGHT, "time": time(0, 20)}, "2026-03-02T23:20:00+00:00"),
        ({"date": NIGHT, "time": time(0, 20)}, "2026-03-01T23:20:00+00:00"),
        ({"night": NIGHT, "utc": time(20, 5)}, "2026-03-02T20:05:00+00:00"),
        ({"night": NIGHT, "utc": time(4, 0)}, "2026-03-03T04:00:00+00:00"),
        ({"utc": datetime(2026, 3, 2, 20, 5)}, "2026-03-02T20:05:00+00:00"),  # noqa: DTZ001
        ({"time": datetime(2026, 7, 2, 23, 5)}, "2026-07-02T21:05:00+00:00"),  # noqa: DTZ001
        ({"time": datetime(2026, 7, 2, 23, 5, tzinfo=UTC)}, "2026-07-02T23:05:00+00:00"),
    ],
)
def test_a_row_tells_one_instant(values: dict[str, Any], expected: str) -> None:
    assert instant(**values) == expected


@pytest.mark.parametrize(
    ("values", "error"),
    [
        ({"night": NIGHT}, TimeMissing),
        ({"time": time(21, 5)}, TimeMissing),
        ({"night": NIGHT, "time": time(21, 5), "utc": time(20, 5)}, TwoTimes),
        ({"night": NIGHT, "time": datetime(2026, 3, 4, 21, 5)}, OutsideNight),  # noqa: DTZ001
        ({"night": date(2026, 10, 24), "time": time(2, 30)}, AmbiguousTime),
        ({"night": date(2026, 12, 1), "time": time(21, 0)}, FutureTime),
    ],
)
def test_what_tells_none_or_two_is_refused(values: dict[str, Any], error: type[ObslogError]) -> None:
    with pytest.raises(error):
        instant(**values)


def test_a_local_time_means_nothing_where_the_zone_is_unknown() -> None:
    with pytest.raises(NoZoneForTime, match="Somewhere"):
        row_instant({"night": NIGHT, "time": time(21, 5)}, "Somewhere", None, NOW)
    known = row_instant({"night": NIGHT, "utc": time(20, 5)}, "Somewhere", None, NOW)
    assert known == datetime(2026, 3, 2, 20, 5, tzinfo=UTC)
