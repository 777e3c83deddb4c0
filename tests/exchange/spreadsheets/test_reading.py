"""A sheet in the untidy form in which clubs have them, against what a person reads in it."""

from datetime import date
from pathlib import Path

import pytest
from openpyxl import Workbook

from obslog.exchange.spreadsheets.cell_dates import DateOrder
from obslog.exchange.spreadsheets.columns import kinds
from obslog.exchange.spreadsheets.reading import Sheet, ValueRow, read_spreadsheet

TODAY = date(2026, 11, 28)
HEAD = ["Item", "Type", "Inventory No.", "Date of purchase", "Price", "Location", "Insurance class"]


def read(path: Path, kind: str = "items", order: DateOrder | None = None) -> Sheet:
    return read_spreadsheet(path, kinds()[kind], TODAY, order=order)


@pytest.fixture
def untidy(tmp_path: Path) -> Path:
    """A merged title, an empty row, merged cells, dates in three styles, and the head once more as on paper."""
    book = Workbook()
    sheet = book.active
    for row in (
        ["Equipment of the society, as of the autumn"],
        [],
        HEAD,
        ["Silver Heron", "Mount", 14, "12/05/2019", "£890.00", "Shelf A", "x"],
        ["Long tube", "Telescope", 15, "13.5.2019", "1,200", None, None],
        ["Lead battery", "Battery", "C-16", "Mar 3, 2021", "45,50 €", None, None],
        [],
        HEAD,
        [None, None, "-", "?", None, None, None],
        ["Wide 25", "Eyepiece", None, date(2020, 2, 29), "?", None, None],
    ):
        sheet.append(row)
    sheet.merge_cells("A1:G1")
    sheet.merge_cells("F4:F6")
    book.save(tmp_path / "club.xlsx")
    return tmp_path / "club.xlsx"


def test_it_is_read_as_a_person_reads_it(untidy: Path) -> None:
    found = read(untidy)
    assert found.faults == []
    assert found.left_out == {"Insurance class": found.left_out["Insurance class"]}
    columns = ("name", "kind", "tag", "acquired_on", "cost", "place")
    on_shelf_a = [
        ("Silver Heron", "Mount", "14", date(2019, 5, 12), 890, "Shelf A"),
        ("Long tube", "Telescope", "15", date(2019, 5, 13), 1200, "Shelf A"),
        ("Lead battery", "Battery", "C-16", date(2021, 3, 3), 45.5, "Shelf A"),
    ]
    assert found.rows == [
        *(
            ValueRow(line, dict(zip(columns, row, strict=True)))
            for line, row in enumerate(on_shelf_a, start=4)
        ),
        ValueRow(10, {"name": "Wide 25", "kind": "Eyepiece", "acquired_on": date(2020, 2, 29)}),
    ]


def test_every_fault_of_every_row_is_told_with_its_column_and_remedy(tmp_path: Path) -> None:
    path = tmp_path / "items.csv"
    path.write_text("name,bought on,price\nHeron,2020-02-30,cheap\n,2020-01-01,5\nWren,2020-01-01,5\n")
    found = read(path)
    assert [(fault.line, fault.column) for fault in found.faults] == [
        (2, "acquired_on"),
        (2, "cost"),
        (3, "name"),
    ]
    assert all(len(fault.reason) > 10 for fault in found.faults)
    assert [row.line for row in found.rows] == [4]


def test_days_that_contradict_each_other_in_one_column_are_a_fault_of_the_head(tmp_path: Path) -> None:
    path = tmp_path / "items.csv"
    path.write_text("name,bought on\nHeron,13/4/2019\nWren,4/13/2019\n")
    assert [(fault.line, fault.column) for fault in read(path).faults] == [(1, "acquired_on")]


def test_one_column_of_days_shows_how_another_is_meant(tmp_path: Path) -> None:
    path = tmp_path / "loans.csv"
    path.write_text("what,member,out,back\nHeron,Ines,3/4/2019,20/4/2019\n")
    assert read(path, "loans").rows[0].values["out_on"] == date(2019, 4, 3)


def test_the_order_that_is_said_goes_before_what_a_column_shows(tmp_path: Path) -> None:
    path = tmp_path / "loans.csv"
    path.write_text("what,member,out\nHeron,Ines,3/4/2019\n")
    assert read(path, "loans", DateOrder.MONTH_FIRST).rows[0].values["out_on"] == date(2019, 3, 4)
    assert len(read(path, "loans").faults) == 1
