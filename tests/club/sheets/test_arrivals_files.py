"""Sheets as files: encodings, headers, quoted line ends, and what no spreadsheet should have made."""

import os
import threading
from pathlib import Path

import pytest
from sqlalchemy import select

from obslog.club.sheets.arrivals_files import import_arrivals
from obslog.errors import ObslogError
from obslog.exchange.arrivals_csv import NoSuchSheet, NotUtf8, WrongHeader
from obslog.exchange.arrivals_rows import COLUMNS
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Arrival
from tests.club.sheets.sheets import GOOD, LATER, counts, faults, row, sheet_text, written


def refused(database: Database, path: Path, kind: type[ObslogError]) -> ObslogError:
    before = counts(database)
    with pytest.raises(kind) as caught:
        import_arrivals(database, path, LATER, create=True)
    assert counts(database) == before
    assert "\n" not in caught.value.message + caught.value.hint
    return caught.value


@pytest.mark.parametrize(
    ("encoding", "note", "line"),
    [
        ("latin-1", "très bon", 3),
        ("cp1252", "très bon", 3),
        ("utf-16", "très bon", 1),  # its byte-order mark is no UTF-8
        ("utf-16-le", "good", 1),  # without the mark every byte is UTF-8, and every second one nothing
        ("utf-16-be", "good", 1),
    ],
)
def test_another_encoding_is_named_with_its_first_line(
    sqlite_database: Database, tmp_path: Path, encoding: str, note: str, line: int
) -> None:
    text = sheet_text(row(), row(note=note))
    error = refused(sqlite_database, written(tmp_path, text.encode(encoding)), NotUtf8)
    assert f"line {line} " in error.message
    assert "UTF-8" in error.hint


@pytest.mark.parametrize("content", [b"", b"\n", b",,,\n", b"\xef\xbb\xbf"])
def test_an_empty_file_has_no_header(sqlite_database: Database, tmp_path: Path, content: bytes) -> None:
    error = refused(sqlite_database, written(tmp_path, content), WrongHeader)
    assert ",".join(COLUMNS) in error.hint


def test_a_header_alone_adds_nothing(sqlite_database: Database, tmp_path: Path) -> None:
    taken = import_arrivals(sqlite_database, written(tmp_path, sheet_text()), LATER)
    assert (taken.rows, taken.added) == (0, 0)
    assert counts(sqlite_database)["Act"] == 0


@pytest.mark.parametrize(
    ("header", "said"),
    [
        ("night,site,mount,role,target,utc,notes", "'notes'"),
        ("night,site,mount,role,target,utc,temp,wind", "'temp', 'wind'"),
        ("night,site,mount,role,target,utc,site", "site twice"),
        ("night,site,mount,role,utc", "target"),
        ("night,site,mount,role,target", "utc (or local)"),
        ("night;site;mount;role;target;utc", "semicolons"),
        ("2026-03-02,Mill Field,Heron,check,Vega,20:41", "unknown columns"),
    ],
)
def test_a_wrong_header_is_told_by_name(
    sqlite_database: Database, tmp_path: Path, header: str, said: str
) -> None:
    assert said in refused(sqlite_database, written(tmp_path, header + "\n"), WrongHeader).message


def test_the_nearest_column_is_offered(sqlite_database: Database, tmp_path: Path) -> None:
    path = written(tmp_path, "night,site,mount,role,target,utc,notes\n")
    assert "'notes' meant to be note?" in refused(sqlite_database, path, WrongHeader).hint


def test_columns_come_in_any_order_and_case_with_a_byte_order_mark(
    sqlite_database: Database, tmp_path: Path
) -> None:
    text = (
        sheet_text(row(), columns=list(reversed(GOOD)))
        .replace("night", "Night", 1)
        .replace("role", " ROLE ", 1)
    )
    path = written(tmp_path, text.encode("utf-8-sig"))
    assert import_arrivals(sqlite_database, path, LATER, create=True).added == 1


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
def test_lines_may_end_as_on_any_system(sqlite_database: Database, tmp_path: Path, ends: str) -> None:
    text = sheet_text(row(), row(target="Deneb")).replace("\r\n", ends)
    assert import_arrivals(sqlite_database, written(tmp_path, text), LATER, create=True).added == 2


def test_line_numbers_are_those_of_the_file_where_notes_hold_line_ends(
    club: Database, tmp_path: Path
) -> None:
    rows = row(note="one\ntwo\nthree"), row(role="look", note="a\nb"), row(role="gaze")
    # The header is line 1; the first row is lines 2 to 4, the second begins in 5, the third in 7.
    assert [fault[0] for fault in faults(club, written(tmp_path, sheet_text(*rows)))] == [5, 7]


def test_a_note_keeps_its_line_ends(club: Database, tmp_path: Path) -> None:
    text = sheet_text(row(note="one\r\ntwo, 'three' \"four\""))
    import_arrivals(club, written(tmp_path, text), LATER)
    with club.read() as session:
        assert session.scalars(select(Arrival.note)).one() == "one\ntwo, 'three' \"four\""


@pytest.mark.parametrize("cells", [["2026-03-02", "Mill Field"], [*GOOD.values(), "one too many"]])
def test_a_row_of_another_length_is_a_fault(club: Database, tmp_path: Path, cells: list[str]) -> None:
    text = sheet_text(row()) + ",".join(cells) + "\n"
    ((line, column, why),) = faults(club, written(tmp_path, text))
    assert (line, column) == (3, "")
    assert f"{len(cells)} cells" in why


def test_blank_lines_are_passed_over(club: Database, tmp_path: Path) -> None:
    text = sheet_text(row()) + "\n" + "," * (len(GOOD) - 1) + "\n"
    assert import_arrivals(club, written(tmp_path, text), LATER).rows == 1


@pytest.mark.parametrize("end", ['"2026-03-02', '2026-03-02,"Heron" Meadow', "x" * 1_000_001])
def test_what_is_no_csv_is_refused_with_its_line(sqlite_database: Database, tmp_path: Path, end: str) -> None:
    error = refused(sqlite_database, written(tmp_path, sheet_text(row()) + end), ObslogError)
    assert "in line 3" in error.message
    assert error.exit_code == 2


def test_a_folder_or_no_file_is_no_sheet(sqlite_database: Database, tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "none.csv"):
        assert refused(sqlite_database, path, NoSuchSheet).exit_code == 1


def test_a_sheet_may_come_through_a_pipe(sqlite_database: Database, tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    writer = threading.Thread(target=pipe.write_text, args=(sheet_text(row()),))
    writer.start()
    assert import_arrivals(sqlite_database, pipe, LATER, create=True).added == 1
    writer.join()
