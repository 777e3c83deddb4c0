"""Instants between datetime and datetime64, both in UTC."""

from datetime import UTC, datetime, timedelta, timezone

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.sky.places.instants import (
    TimeWithoutZone,
    as_datetime,
    as_datetime64,
    as_datetime_or_none,
    as_datetimes,
    naive_utc,
)

EVENING = datetime(2026, 3, 2, 21, 40, 15, 250_000, tzinfo=UTC)


def test_an_instant_of_any_zone_is_that_of_utc_to_the_microsecond() -> None:
    local = EVENING.astimezone(timezone(timedelta(hours=-3, minutes=-30)))
    assert as_datetime64(local) == as_datetime64(EVENING) == np.datetime64("2026-03-02T21:40:15.250000")
    assert naive_utc(local) == datetime(2026, 3, 2, 21, 40, 15, 250_000)  # noqa: DTZ001


def test_a_time_without_a_zone_is_refused() -> None:
    for turned in (naive_utc, as_datetime64):
        with pytest.raises(TimeWithoutZone, match="2026-03-02T21:40:15"):
            turned(EVENING.replace(tzinfo=None))


@pytest.mark.parametrize(
    ("text", "second"),
    [
        ("2026-03-02T21:40:15.499", "21:40:15"),
        ("2026-03-02T21:40:15.500", "21:40:16"),
        ("2026-03-02T21:40:15.501", "21:40:16"),
        ("1969-12-31T23:59:58.600", "23:59:59"),
    ],
)
def test_a_computed_instant_is_given_to_the_nearest_second(text: str, second: str) -> None:
    found = as_datetime(np.datetime64(text, "ms"))
    assert (f"{found:%H:%M:%S}", found.tzinfo, found.microsecond) == (second, UTC, 0)


def test_no_time_is_none() -> None:
    assert as_datetime_or_none(None) is None
    assert as_datetime_or_none(np.datetime64("NaT")) is None
    assert as_datetime_or_none(np.datetime64("2026-03-02T21:40")) == EVENING.replace(second=0, microsecond=0)


@given(st.lists(st.datetimes(datetime(1900, 1, 1), datetime(2100, 1, 1)), max_size=5))  # noqa: DTZ001
def test_whole_seconds_come_back_as_they_were(times: list[datetime]) -> None:
    whole = [time.replace(microsecond=0, tzinfo=UTC) for time in times]
    assert as_datetimes(as_datetime64(time) for time in whole) == whole
