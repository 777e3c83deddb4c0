"""What is written is read back as the same values, in both forms, whatever the texts hold."""

from datetime import date
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook

from obslog.exchange.formula_guard import unguarded
from obslog.exchange.spreadsheets.columns import kinds
from obslog.exchange.spreadsheets.reading import read_spreadsheet
from obslog.exchange.spreadsheets.writing import (
    NoSheetName,
    blank_rows,
    check_ending,
    write_spreadsheet,
)
from obslog.vocabulary.storeroom import Acquired

TODAY = date(2026, 11, 28)
ROW: dict[str, Any] = {
    "name": "=HYPERLINK(1)",
    "kind": "item",
    "tag": "0014",
    "serial": "-5",
    "acquired": Acquired.GIFT,
    "acquired_on": date(2019, 5, 12),
    "cost": 890.5,
    "value": 600.0,
    "note": 'two\nlines, and "quotes"',
}


def written_and_read(folder: Path, name: str, kind: str, rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    path = folder / name
    with path.open("wb") as file:
        assert write_spreadsheet(file, path, kinds()[kind], rows) == len(rows)
    found = read_spreadsheet(path, kinds()[kind], TODAY)
    assert found.faults == []
    return [dict(row.values) for row in found.rows]


@pytest.mark.parametrize("name", ["items.csv", "items.xlsx"])
def test_a_row_comes_back_as_it_was(tmp_path: Path, name: str) -> None:
    assert written_and_read(tmp_path, name, "items", [ROW]) == [ROW]


@pytest.mark.parametrize("name", ["sheet.csv", "sheet.xlsx"])
@pytest.mark.parametrize("kind", kinds())
def test_the_blank_sheet_with_its_example_can_be_brought_in(tmp_path: Path, kind: str, name: str) -> None:
    assert len(written_and_read(tmp_path, name, kind, blank_rows(kinds()[kind]))) == 1


def test_no_cell_of_a_workbook_is_a_formula() -> None:
    file = BytesIO()
    write_spreadsheet(file, Path("items.xlsx"), kinds()["items"], [ROW])
    cells = [cell for row in load_workbook(file).active.iter_rows(min_row=2) for cell in row]
    assert "f" not in {cell.data_type for cell in cells}


def test_a_csv_guards_what_a_spreadsheet_would_run() -> None:
    file = BytesIO()
    write_spreadsheet(file, Path("items.csv"), kinds()["items"], [ROW])
    assert "'=HYPERLINK(1)" in file.getvalue().decode("utf-8-sig")


@given(st.text(st.sampled_from("'=+-@ a"), max_size=6))
def test_a_guarded_text_is_the_same_again(text: str) -> None:
    from obslog.exchange.spreadsheets.writing import _as_text

    assert unguarded(_as_text(text)) == text


def test_another_ending_is_refused() -> None:
    with pytest.raises(NoSheetName):
        check_ending(Path("items.ods"))
