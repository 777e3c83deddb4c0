"""Spreadsheets as clubs save them, read into the same grid; what is none of them is refused in a sentence."""

from datetime import date, datetime, timedelta
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
from openpyxl import Workbook

from obslog.exchange.spreadsheets import grid
from obslog.exchange.spreadsheets.grid import NoSuchFile, Row, UnreadableSheet, read_grid

ROWS = [Row(1, ["name", "note"]), Row(3, ["Ines", "a, b"])]
AT_FIVE = datetime(2026, 3, 2, 5)  # noqa: DTZ001 - a workbook knows no zones


def written(folder: Path, name: str, content: bytes | str) -> Path:
    path = folder / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8"))
    return path


@pytest.mark.parametrize(
    "content",
    [
        'name,note\n\nInes,"a, b"\n',
        'name,note\r\n\r\nInes,"a, b"\r\n',
        "name;note\n;\nInes;a, b\n",
        "name\tnote\n\t\nInes\ta, b\n",
        b"\xef\xbb\xbf" + b'name,note\n\nInes,"a, b"\n',
        "name;note\n;\nInes;a, b\n".encode("utf-16"),
    ],
)
def test_what_a_spreadsheet_saves_as_text_is_the_same_grid(tmp_path: Path, content: bytes | str) -> None:
    assert read_grid(written(tmp_path, "club.csv", content)) == ROWS


def test_an_old_encoding_is_read_with_its_accents(tmp_path: Path) -> None:
    assert read_grid(written(tmp_path, "club.csv", "name\nRenée\n".encode("cp1252")))[1].cells == ["Renée"]


def test_a_cell_of_several_lines_is_one_row_numbered_as_the_spreadsheet_shows_it(tmp_path: Path) -> None:
    assert read_grid(written(tmp_path, "club.csv", 'name\n"one\ntwo"\nthree\n')) == [
        Row(1, ["name"]),
        Row(2, ["one\ntwo"]),
        Row(3, ["three"]),
    ]


def test_an_apostrophe_that_guards_a_formula_is_taken_off_and_another_stays(tmp_path: Path) -> None:
    rows = read_grid(written(tmp_path, "club.csv", "name\n'=1+1\n'tis\n"))
    assert [row.cells for row in rows] == [["name"], ["=1+1"], ["'tis"]]


def workbook(folder: Path, **sheets: list[list[object]]) -> Path:
    book = Workbook()
    book.remove(book.active)
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(row)
    path = folder / "club.xlsx"
    book.save(path)
    return path


def test_a_workbook_keeps_numbers_and_dates(tmp_path: Path) -> None:
    path = workbook(tmp_path, one=[["name", "on", "n"], ["Ines", AT_FIVE, 14], [" ", None, None]])
    assert read_grid(path) == [Row(1, ["name", "on", "n"]), Row(2, ["Ines", "2026-03-02 05:00:00", 14.0])]


def test_a_day_without_a_time_is_a_date_and_a_fraction_of_a_second_is_the_workbooks_own(
    tmp_path: Path,
) -> None:
    midnight, nearly_five = AT_FIVE.replace(hour=0), AT_FIVE - timedelta(microseconds=4)
    path = workbook(tmp_path, one=[["a", "b"], [midnight, nearly_five]])
    assert read_grid(path)[1].cells == [date(2026, 3, 2), "2026-03-02 05:00:00"]


def test_merged_cells_each_hold_the_value_of_the_whole(tmp_path: Path) -> None:
    book = Workbook()
    sheet = book.active
    for row in (["place", "name"], ["Shelf A", "one"], [None, "two"]):
        sheet.append(row)
    sheet.merge_cells("A2:A3")
    book.save(tmp_path / "club.xlsx")
    assert [row.cells for row in read_grid(tmp_path / "club.xlsx")][1:] == [
        ["Shelf A", "one"],
        ["Shelf A", "two"],
    ]


def test_a_workbook_of_several_sheets_wants_one_named(tmp_path: Path) -> None:
    path = workbook(tmp_path, Mounts=[["name"], ["Heron"]], Old=[["name"], ["Wren"]], Empty=[])
    with pytest.raises(UnreadableSheet, match="2 sheets") as refused:
        read_grid(path)
    assert refused.value.hint == "Say which: --sheet 'Mounts' or --sheet 'Old'"
    assert read_grid(path, "old")[1].cells == ["Wren"]


def test_a_formula_is_taken_by_the_value_that_was_saved_and_never_run(tmp_path: Path) -> None:
    """A workbook that no spreadsheet has opened since has none."""
    assert read_grid(workbook(tmp_path, one=[["name", "n"], ["Ines", "=1+1"]]))[1].cells == ["Ines", None]


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("club.xlsx", b"PK\x03\x04 no archive"),
        ("club.xlsx", b"name,note\n"),
        ("club.csv", b"PK\x03\x04 a workbook by another name"),
        ("club.xls", b"\xd0\xcf\x11\xe0 an old workbook"),
        ("club.csv", b"\x00\x01\x02"),
        ("club.csv", 'name\n"never closed'),
    ],
)
def test_what_is_no_sheet_is_refused_in_a_sentence(tmp_path: Path, name: str, content: bytes | str) -> None:
    with pytest.raises(UnreadableSheet):
        read_grid(written(tmp_path, name, content))


def test_an_archive_that_unpacks_to_far_more_than_a_list_is_not_unpacked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(grid, "LARGEST_UNPACKED", 1_000_000)
    with ZipFile(tmp_path / "bomb.xlsx", "w", ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", b" " * 1_000_001)
    with pytest.raises(UnreadableSheet, match="far larger"):
        read_grid(tmp_path / "bomb.xlsx")


def test_too_many_columns_are_refused(tmp_path: Path) -> None:
    with pytest.raises(UnreadableSheet, match="400 columns"):
        read_grid(written(tmp_path, "club.csv", "," * 401))


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(NoSuchFile, match=r"none\.csv"):
        read_grid(tmp_path / "none.csv")
