"""Dates and times in cells, in the ways people write them; what may be two days is asked about."""

from datetime import UTC, date, datetime, time, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.exchange.spreadsheets.cell_dates import CellReading, DateOrder, date_order
from obslog.exchange.spreadsheets.cells import cell_value
from obslog.exchange.spreadsheets.columns import kinds
from obslog.exchange.spreadsheets.grid import BadCell

TODAY = date(2026, 11, 28)
COLUMNS = {f"{kind.name}.{column.name}": column for kind in kinds().values() for column in kind.columns}


def value(column: str, cell: Any, order: DateOrder | None = None) -> Any:
    return cell_value(COLUMNS[column], cell, CellReading(TODAY, order))


@pytest.mark.parametrize(
    "cell",
    [
        date(2019, 5, 12),
        "2019-05-12",
        "2019/5/12",
        "12 May 2019",
        "12th May 2019",
        "12. May 2019",
        "May 12, 2019",
        "12-May-19",
        "2019-05-12 00:00:00",
    ],
)
def test_a_day_is_read_in_the_ways_people_write_it(cell: Any) -> None:
    assert value("items.acquired_on", cell) == date(2019, 5, 12)


def test_a_day_that_may_be_two_is_asked_about() -> None:
    with pytest.raises(BadCell, match="may be 3 Apr or 4 Mar") as refused:
        value("items.acquired_on", "3/4/2019")
    assert "--dates day-first" in refused.value.hint
    assert value("items.acquired_on", "3/4/2019", DateOrder.DAY_FIRST) == date(2019, 4, 3)
    assert value("items.acquired_on", "3/4/2019", DateOrder.MONTH_FIRST) == date(2019, 3, 4)


@pytest.mark.parametrize("cell", ["13/4/2019", "4/13/2019", "4/4/2019", "13.4.19"])
def test_a_day_that_can_be_only_one_is_read_whatever_the_order(cell: str) -> None:
    assert value("items.acquired_on", cell).day in (13, 4)
    assert value("items.acquired_on", cell).month == 4


def test_a_year_of_two_figures_is_the_last_that_lies_at_most_ten_years_ahead() -> None:
    assert value("loans.due_on", "13.4.36") == date(2036, 4, 13)
    assert value("loans.due_on", "13.4.37") == date(1937, 4, 13)


def test_a_past_day_cannot_be_tomorrow_and_a_due_day_can() -> None:
    tomorrow = TODAY + timedelta(days=1)
    assert value("loans.due_on", tomorrow) == tomorrow
    with pytest.raises(BadCell, match="has not come yet"):
        value("loans.out_on", tomorrow)


@pytest.mark.parametrize("cell", ["2020-02-30", "31/2/2019", "soon", "5.2019", "12 Foo 2019", "2019"])
def test_what_is_no_day_is_refused(cell: str) -> None:
    with pytest.raises(BadCell):
        value("items.acquired_on", cell)


def test_a_column_shows_its_order_by_any_day_that_can_be_only_one() -> None:
    assert date_order(["3/4/2019", None, "13/4/2019"]) is DateOrder.DAY_FIRST
    assert date_order(["3/4/2019", "4/13/2019", date(2019, 1, 1)]) is DateOrder.MONTH_FIRST
    assert date_order(["3/4/2019", "2019-05-06"]) is None
    with pytest.raises(BadCell, match="'13/4/2019' has the day first, '4/13/2019' the month"):
        date_order(["13/4/2019", "4/13/2019"])


@given(st.dates(date(1950, 1, 1), TODAY), st.sampled_from(["/", ".", "-"]))
def test_every_day_comes_back_from_every_way_of_writing_it(day: date, sign: str) -> None:
    day_first = f"{day.day}{sign}{day.month}{sign}{day.year}"
    month_first = f"{day.month}{sign}{day.day}{sign}{day.year}"
    assert value("items.acquired_on", day_first, DateOrder.DAY_FIRST) == day
    assert value("items.acquired_on", month_first, DateOrder.MONTH_FIRST) == day
    assert value("items.acquired_on", day.isoformat()) == day
    assert value("items.acquired_on", f"{day:%B} {day.day}, {day.year}") == day


@pytest.mark.parametrize(
    ("cell", "moment"),
    [
        ("21:05", time(21, 5)),
        ("21.05", time(21, 5)),
        ("21h05", time(21, 5)),
        ("9:05 pm", time(21, 5)),
        ("12:30 am", time(0, 30)),
        ("9 pm", time(21)),
        ("20:05:09.25", time(20, 5, 9, 250_000)),
        ("20:05Z", time(20, 5, tzinfo=UTC)),
        ("20:05 UT", time(20, 5, tzinfo=UTC)),
        ("2026-03-02 21:05", datetime(2026, 3, 2, 21, 5)),  # noqa: DTZ001 - by the clocks of a site
        ("2026-03-02T21:05:00+01:00", datetime(2026, 3, 2, 20, 5, tzinfo=UTC)),
        ("2026-03-02 20:05 UTC", datetime(2026, 3, 2, 20, 5, tzinfo=UTC)),
    ],
)
def test_a_time_is_read_as_people_write_it(cell: str, moment: time | datetime) -> None:
    assert value("observations.time", cell) == moment


@pytest.mark.parametrize(
    "cell", ["21", "25:00", "13 pm", "2026-03-02", "late", 0.875, "21:05 ZZ", "9999-12-31T23:00-05:00"]
)
def test_what_is_no_time_is_refused(cell: Any) -> None:
    with pytest.raises(BadCell):
        value("observations.time", cell)


@pytest.mark.parametrize("cell", ["2019", 2019.0, " 2019 "])
def test_a_year_without_a_day_is_told_as_one(cell: Any) -> None:
    with pytest.raises(BadCell, match="'2019' is a year and no day") as refused:
        value("items.acquired_on", cell)
    assert refused.value.hint == "Write a day of it, like 2019-03-02, or leave the cell blank."
