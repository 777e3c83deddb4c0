"""Dates and times as XML Schema part 2 has them, and as logs have them."""

from datetime import UTC, datetime, timedelta, timezone

import pytest

from obslog.exchange.open_log.moments import read_moment

AHEAD = timezone(timedelta(hours=1))


@pytest.mark.parametrize(
    ("text", "moment"),
    [
        ("2006-07-18T21:50:00+01:00", datetime(2006, 7, 18, 21, 50, tzinfo=AHEAD)),
        (" 2006-07-18T21:50:00Z ", datetime(2006, 7, 18, 21, 50, tzinfo=UTC)),
        ("2006-07-18T21:50:00", datetime(2006, 7, 18, 21, 50)),  # noqa: DTZ001 - a local time is meant
        ("2006-07-18 21:50", datetime(2006, 7, 18, 21, 50)),  # noqa: DTZ001
        ("2006-07-18T21:50:00.123456789Z", datetime(2006, 7, 18, 21, 50, 0, 123456, tzinfo=UTC)),
        ("2006-12-31T24:00:00Z", datetime(2007, 1, 1, tzinfo=UTC)),
        (
            "2006-07-18T21:50:00-0330",
            datetime(2006, 7, 18, 21, 50, tzinfo=timezone(-timedelta(hours=3, minutes=30))),
        ),
    ],
)
def test_a_moment_is_read(text: str, moment: datetime) -> None:
    found = read_moment(text)
    assert found == moment
    assert found is not None
    assert found.utcoffset() == moment.utcoffset()


@pytest.mark.parametrize(
    "text",
    [
        "",
        "yesterday",
        "2006-07-18",
        "2006-02-30T21:50:00Z",
        "2006-07-18T24:00:01Z",
        "2006-07-18T21:60:00Z",
        "2006-07-18T21:50:00+15:00",
        "2006-07-18T21:50:00+01:75",
        "-2006-07-18T21:50:00Z",
        "12006-07-18T21:50:00Z",
        "9999-12-31T24:00:00Z",
    ],
)
def test_what_is_none_is_none(text: str) -> None:
    assert read_moment(text) is None
