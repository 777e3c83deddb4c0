"""How much of a file is missing is told by the file's own header, and only where it can be."""

import sqlite3
from contextlib import closing
from pathlib import Path

from obslog.records.files.cut_short import missing_bytes


def a_file(path: Path) -> Path:
    with closing(sqlite3.connect(path)) as file:
        file.execute("PRAGMA page_size=4096")
        file.execute("CREATE TABLE notes (text TEXT)")
        file.execute("INSERT INTO notes VALUES (?)", ["x" * 50_000])
        file.commit()
    return path


def test_a_whole_file_lacks_nothing_and_a_cut_one_what_was_cut(tmp_path: Path) -> None:
    path = a_file(tmp_path / "notes.db")
    whole = path.read_bytes()
    assert missing_bytes(path) == 0
    for cut in (1, 4096, len(whole) - 100):
        path.write_bytes(whole[: len(whole) - cut])
        assert missing_bytes(path) == cut
    path.write_bytes(whole[:60])
    assert missing_bytes(path) == 40, "of the header itself: 100 bytes"


def test_what_is_no_such_file_lacks_nothing(tmp_path: Path) -> None:
    for content in (b"", b"notes", b"x" * 5000):
        (tmp_path / "notes.txt").write_bytes(content)
        assert missing_bytes(tmp_path / "notes.txt") == 0


def test_where_a_log_lies_beside_it_the_rest_may_be_in_that(tmp_path: Path) -> None:
    path = a_file(tmp_path / "notes.db")
    path.write_bytes(path.read_bytes()[:-4096])
    path.with_name("notes.db-wal").write_bytes(b"")
    assert missing_bytes(path) == 4096
    path.with_name("notes.db-wal").write_bytes(b"frames")
    assert missing_bytes(path) == 0
