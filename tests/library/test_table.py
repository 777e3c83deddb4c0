"""A table is its records and its columns: the same values either way, and what is not known stays so."""

import sys
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone

import numpy as np
import pytest

from obslog.library.table import NoSuchColumn, PandasMissing, Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    value: float
    sure: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    name: str
    day: date
    ended: date | None
    at: datetime | None
    count: int
    rank: int | None
    miss: float | None
    open: bool
    told: bool | None
    size: Size
    who: list[str]


ONE = Row(
    name="one", day=date(2026, 3, 2), ended=None, at=datetime(2026, 3, 2, 20, 40, tzinfo=UTC), count=3, rank=None,
    miss=2.5, open=True, told=None, size=Size(value=1.5, sure=True), who=["Ann", "Bo"],
)  # fmt: skip
TWO = Row(
    name="two", day=date(2026, 3, 3), ended=date(2026, 3, 4), at=None, count=4, rank=7, miss=None, open=False,
    told=True, size=Size(value=-0.5, sure=False), who=["Cy", "Di"],
)  # fmt: skip
TABLE = Table.of(Row, [ONE, TWO])


def test_a_table_is_a_sequence_of_its_records() -> None:
    assert list(TABLE) == [ONE, TWO]
    assert (TABLE[0], TABLE[-1], len(TABLE), ONE in TABLE) == (ONE, TWO, 2, True)
    with pytest.raises(IndexError):
        TABLE[2]


def test_a_slice_and_what_is_chosen_are_tables_too() -> None:
    assert TABLE[1:] == Table.of(Row, [TWO])
    assert TABLE.where(TABLE.column("count") > 3) == Table.of(Row, [TWO])
    assert TABLE.where([1, 0]) == Table.of(Row, [TWO, ONE])
    assert TABLE.where([]) == Table.of(Row, [])
    assert TABLE != [ONE, TWO]


def test_numbers_are_arrays_in_which_what_is_not_known_is_nan() -> None:
    np.testing.assert_array_equal(TABLE.column("count"), np.array([3, 4]), strict=True)
    np.testing.assert_array_equal(TABLE.column("rank"), np.array([np.nan, 7]), strict=True)
    np.testing.assert_array_equal(TABLE.column("miss"), np.array([2.5, np.nan]), strict=True)
    np.testing.assert_array_equal(TABLE.column("open"), np.array([True, False]), strict=True)


def test_texts_lists_and_what_may_be_neither_yes_nor_no_are_as_they_were() -> None:
    assert TABLE.column("name").tolist() == ["one", "two"]
    assert TABLE.column("told").tolist() == [None, True]
    assert TABLE.column("who").tolist() == [["Ann", "Bo"], ["Cy", "Di"]]


def test_days_and_instants_are_times_of_numpy_in_utc() -> None:
    assert TABLE.column("day").tolist() == [date(2026, 3, 2), date(2026, 3, 3)]
    np.testing.assert_array_equal(TABLE.column("ended"), np.array(["NaT", "2026-03-04"], "datetime64[D]"))
    np.testing.assert_array_equal(TABLE.column("at"), np.array(["2026-03-02T20:40", "NaT"], "datetime64[us]"))
    elsewhere = datetime(2026, 3, 2, 22, 40, tzinfo=timezone(timedelta(hours=2)))
    moved = Table(Row, {**{name: [getattr(ONE, name)] for name in Row.__slots__}, "at": [elsewhere]})
    np.testing.assert_array_equal(moved.column("at"), TABLE[:1].column("at"))


def test_the_parts_of_a_record_inside_are_columns() -> None:
    assert TABLE.names == (
        "name", "day", "ended", "at", "count", "rank", "miss", "open", "told", "size.value", "size.sure", "who",
    )  # fmt: skip
    assert TABLE.column("size.value").tolist() == [1.5, -0.5]
    assert TABLE.column("size.sure").dtype == bool


def test_an_empty_table_has_its_columns() -> None:
    empty = Table.of(Row, [])
    assert {name: len(column) for name, column in empty.columns().items()} == dict.fromkeys(TABLE.names, 0)
    assert empty.column("day").dtype == np.dtype("datetime64[D]")
    assert len(empty.frame()) == 0


def test_a_column_that_is_not_there_is_refused_with_the_nearest() -> None:
    with pytest.raises(NoSuchColumn, match="There is no column named 'coumt'") as told:
        TABLE.column("coumt")
    assert told.value.hint == "Did you mean count?"
    with pytest.raises(NoSuchColumn):
        TABLE.column("size")


def test_a_frame_has_the_columns_and_knows_that_instants_are_utc() -> None:
    frame = TABLE.frame()
    assert tuple(frame.columns) == TABLE.names
    assert str(frame["at"].dt.tz) == "UTC"
    assert frame["at"].isna().tolist() == [False, True]
    assert frame["miss"].isna().tolist() == [False, True]
    assert frame["size.value"].sum() == 1.0
    assert frame["day"].dt.day.tolist() == [2, 3]


def test_without_pandas_a_frame_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pandas", None)
    with pytest.raises(PandasMissing, match="pandas is not installed") as told:
        TABLE.frame()
    assert "pip install pandas" in told.value.hint


def test_a_table_says_what_it_holds() -> None:
    assert repr(TABLE).startswith("<2 of Row: name, day, ended, ")
