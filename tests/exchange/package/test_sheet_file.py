"""Sheets are CSV after RFC 4180; what is read is trusted in nothing."""

import os
import tracemalloc
from hashlib import sha256
from pathlib import Path

import pytest

from obslog.exchange.package.sheet_file import (
    BadLine,
    FileFacts,
    NotToBeRead,
    SheetReader,
    SheetWriter,
    plain_file,
)


def rows_of(data: bytes, tmp_path: Path, **limits: int) -> list[tuple[int, list[str]]]:
    path = tmp_path / "sheet.csv"
    path.write_bytes(data)
    with plain_file(path) as file:
        return list(SheetReader(file, **limits).rows())


def test_what_is_written_is_read_with_lines_and_facts(tmp_path: Path) -> None:
    path = tmp_path / "sheet.csv"
    rows = [("a", 'b "c", d'), ("two\r\nlines", ""), ("é", "'=1")]
    with path.open("wb") as file:
        writer = SheetWriter(file, ["x", "y"])
        writer.write(rows[:1])
        writer.write(rows[1:])
    data = path.read_bytes()
    assert data == b'x,y\r\na,"b ""c"", d"\r\n"two\r\nlines",\r\n\xc3\xa9,\'=1\r\n'
    assert writer.facts == FileFacts(3, len(data), sha256(data).hexdigest())
    with plain_file(path) as read:
        reader = SheetReader(read)
        assert reader.heads == ["x", "y"]
        assert list(reader.rows()) == [(2, ["a", 'b "c", d']), (3, ["two\r\nlines", ""]), (5, ["é", "'=1"])]
        assert reader.facts == writer.facts


def test_what_spreadsheets_make_of_a_sheet_is_read_too(tmp_path: Path) -> None:
    """The mark before UTF-8, lines that end in a line feed alone, no line end at the end, empty lines."""
    assert rows_of(b"\xef\xbb\xbfx,y\n\n1,2\n3,4", tmp_path) == [(3, ["1", "2"]), (4, ["3", "4"])]


@pytest.mark.parametrize(
    ("data", "line"),
    [
        (b"x,y\r\n1,2\r\n\xff,4\r\n", 3),
        ("x,y\n1,2\n".encode("utf-16"), 1),
        (b'x,y\r\n1,2\r\n"3"4,5\r\n', 3),
        (b'x,y\r\n1,"2\r\n3,4\r\n', 3),
        (b"x,y\r\n1,2\r3,4\r\n", 2),
        (b"x,y\r\n1," + b"2" * 200 + b"\r\n", 2),
        (b'x,y\r\n1,"' + b"2\r\n" * 200 + b'"\r\n', None),
    ],
)
def test_what_cannot_be_understood_is_told_with_its_line(
    data: bytes, line: int | None, tmp_path: Path
) -> None:
    with pytest.raises(BadLine) as told:
        rows_of(data, tmp_path, longest_line=100)
    assert line is None or told.value.line == line
    assert told.value.reason
    assert told.value.remedy


def test_a_quotation_mark_that_is_never_closed_takes_no_more_memory_than_a_line_may(tmp_path: Path) -> None:
    data = b'x\r\n"' + b"a long line of nothing\r\n" * 400_000
    tracemalloc.start()
    try:
        with pytest.raises(BadLine):
            rows_of(data, tmp_path, longest_line=100_000)
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert peak < 4_000_000


@pytest.mark.skipif(os.name != "posix", reason="links and pipes of POSIX")
def test_links_pipes_folders_and_what_is_not_there_are_not_opened(tmp_path: Path) -> None:
    (tmp_path / "secret").write_text("x\n")
    (tmp_path / "link").symlink_to(tmp_path / "secret")
    (tmp_path / "folder").mkdir()
    os.mkfifo(tmp_path / "pipe")
    told = {}
    for name in ("link", "folder", "pipe", "nothing", "a\x00b"):
        with pytest.raises(NotToBeRead) as error, plain_file(tmp_path / name):
            pass
        told[name] = error.value.reason
    assert told["link"] == "is a link to somewhere else."
    assert told["pipe"] == told["folder"] == "is not a file."
    assert told["nothing"] == "is not in the folder."


def test_a_folder_is_told_to_be_no_file_where_none_can_be_opened_as_on_windows(
    tmp_path: Path, windows_files: list[str]
) -> None:
    with pytest.raises(NotToBeRead) as error, plain_file(tmp_path):
        pass
    assert error.value.reason == "is not a file."
