"""Cells are held to what their column may hold, alike read at one go and one by one; and come back as they went out."""

from datetime import UTC, date, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog import fields
from obslog.errors import WrongInput
from obslog.exchange.package.cells_in import CellFault, ColumnReader
from obslog.exchange.package.cells_out import written_cells
from obslog.exchange.package.tables import Holds, SheetColumn
from obslog.fields import NumberField, TextField

KEY = "0190a6e5-0000-7000-8000-0000000000ff"
SCALE = NumberField("The number", -5, 5)


def column(holds: Holds, **more: Any) -> SheetColumn:
    return SheetColumn(name="c", holds=holds, meaning="What is tried.", **more)


def read(of: SheetColumn, *cells: str) -> tuple[list[Any], list[CellFault]]:
    faults: list[CellFault] = []
    return ColumnReader(of).read(cells, faults), faults


@pytest.mark.parametrize(
    ("of", "cell", "value"),
    [
        (column(Holds.KEY), KEY, KEY),
        (column(Holds.INSTANT), "2026-03-02T20:41:00Z", datetime(2026, 3, 2, 20, 41, tzinfo=UTC)),
        (column(Holds.INSTANT), "2026-03-02T20:41:00.5Z", datetime(2026, 3, 2, 20, 41, 0, 500_000, UTC)),
        (column(Holds.DAY), "2024-02-29", date(2024, 2, 29)),
        (column(Holds.YES_NO), "true", True),
        (column(Holds.YES_NO), "FALSE", False),
        (column(Holds.WORD, words=("east", "west")), "west", "west"),
        (column(Holds.WHOLE), "-12", -12),
        (column(Holds.NUMBER), "-1.5e-3", -0.0015),
        (column(Holds.NUMBER), "+5", 5.0),
        (column(Holds.TEXT), "'=1+1", "=1+1"),
        (column(Holds.TEXT), "'", ""),
        (column(Holds.BYTES), "'+A==", b"\xf8"),
        (column(Holds.TEXT), "", None),
    ],
)
def test_a_cell_is_read(of: SheetColumn, cell: str, value: object) -> None:
    assert read(of, cell) == ([value], [])


@pytest.mark.parametrize(
    ("of", "cell"),
    [
        (column(Holds.KEY), KEY.upper()),
        (column(Holds.KEY), "12"),
        (column(Holds.INSTANT), "2026-03-02T20:41:00"),
        (column(Holds.INSTANT), "2026-03-02T25:00:00Z"),
        (column(Holds.INSTANT), "1026-03-02T20:41:00Z"),
        (column(Holds.DAY), "2025-02-29"),
        (column(Holds.DAY), "02/03/2026"),
        (column(Holds.YES_NO), "yes"),
        (column(Holds.WORD, words=("east", "west")), "West "),
        (column(Holds.WHOLE), "1.0"),
        (column(Holds.WHOLE, rule=SCALE), "6"),
        (column(Holds.NUMBER), "1,5"),
        (column(Holds.NUMBER), "1_000"),
        (column(Holds.NUMBER), " 1"),
        (column(Holds.NUMBER), "nan"),
        (column(Holds.NUMBER), "inf"),
        (column(Holds.NUMBER), "1e999"),
        (column(Holds.NUMBER), "１"),
        (column(Holds.NUMBER, rule=SCALE), "5.01"),
        (column(Holds.NUMBER, rule=SCALE), "-5.01"),
        (column(Holds.TEXT), "a\x00b"),
        (column(Holds.TEXT), "\u202eback"),
        (column(Holds.TEXT, rule=TextField("The word", 3)), "four"),
        (column(Holds.TEXT, rule=TextField("The word", 3)), "'"),
        (column(Holds.TEXT, rule=fields.NAME), "two\nlines"),
        (column(Holds.BYTES), "no base64!"),
        (column(Holds.NUMBER, needed=True), ""),
        (column(Holds.TEXT, needed=True), ""),
    ],
)
def test_a_wrong_cell_is_told_with_its_place_and_what_to_do(of: SheetColumn, cell: str) -> None:
    sound = {Holds.KEY: KEY, Holds.NUMBER: "1", Holds.TEXT: "abc"}.get(of.holds, cell)
    values, faults = read(of, sound, cell)
    assert [fault.place for fault in faults] == ([1] if sound != cell else [0, 1])
    assert values[1] is None
    assert all(fault.reason.endswith(".") and fault.remedy.endswith(".") for fault in faults)


@pytest.mark.parametrize("cells", [["1", "1", "1", "7"], ["1", "2", "3", "7"]])
def test_few_or_many_different_cells_are_read_alike(cells: list[str]) -> None:
    values, faults = read(column(Holds.WHOLE, rule=SCALE), *cells)
    assert (values[3], [fault.place for fault in faults]) == (None, [3])
    assert values[:3] == [int(cell) for cell in cells[:3]]


@given(st.lists(st.floats(allow_nan=False, allow_infinity=False) | st.none(), min_size=1, max_size=5))
def test_any_number_comes_back_to_the_last_bit(numbers: list[float | None]) -> None:
    values, faults = read(column(Holds.NUMBER), *written_cells(Holds.NUMBER, numbers))
    assert faults == []
    assert [None if value is None else value.hex() for value in values] == [
        None if number is None else number.hex() for number in numbers
    ]


@given(st.lists(st.text(st.characters(exclude_categories=("Cc", "Cs", "Cf"))), min_size=1, max_size=5))
def test_any_text_comes_back(texts: list[str]) -> None:
    assert read(column(Holds.TEXT), *written_cells(Holds.TEXT, texts)) == (texts, [])


@given(st.lists(st.binary(max_size=20), min_size=1, max_size=5))
def test_any_bytes_come_back(values: list[bytes]) -> None:
    cells = written_cells(Holds.BYTES, values)
    assert not any(cell.startswith(("=", "+", "-", "@")) for cell in cells)
    assert read(column(Holds.BYTES), *cells) == (values, [])


def test_what_else_is_asked_of_a_text_is_a_fault_too() -> None:
    def refuse(text: str) -> None:
        if text == "Mars/Base":
            raise WrongInput("There is no such zone.", "Name another.")

    faults: list[CellFault] = []
    values = ColumnReader(column(Holds.TEXT), refuse).read(["Europe/London", "Mars/Base", ""], faults)
    assert values == ["Europe/London", None, None]
    assert faults == [CellFault(1, "There is no such zone.", "Name another.")]
