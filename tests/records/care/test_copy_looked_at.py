"""Each reason not to go back to a copy is told in words of its own, and the copy is left as it was."""

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from obslog.errors import ObslogError
from obslog.records.care.copy_looked_at import (
    CopyCutShort,
    CopyIsFolder,
    DamagedCopyFound,
    EmptyCopy,
    NewerCopy,
    NoSuchCopy,
    NotACopy,
    look_at,
)
from obslog.records.driver_errors import DatabaseInUse
from obslog.records.upgrading import SCHEMA_REVISION

A_LOOSE_NIGHT = "INSERT INTO nights (id, site_id, night_of, open) VALUES ('1', 'none', '2026-03-02', 0)"
KNOWN = {"0010", SCHEMA_REVISION}


@pytest.fixture
def copy(club_file: Path, tmp_path: Path) -> Path:
    """A sound copy of a small club."""
    return Path(shutil.copy(club_file, tmp_path / "copy.db"))


def sql(path: Path, *statements: str) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as file:
        for statement in ("PRAGMA foreign_keys=OFF", *statements):
            file.execute(statement)


def flip_in_an_index(path: Path) -> None:
    with closing(sqlite3.connect(path)) as file:
        (page,) = file.execute(
            "SELECT rootpage FROM sqlite_master WHERE name = 'sqlite_autoindex_members_2'"
        ).fetchone()
        (size,) = file.execute("PRAGMA page_size").fetchone()
    content = bytearray(path.read_bytes())
    content[page * size - 2] ^= 1  # entries are filled in from the end of a page
    path.write_bytes(bytes(content))


def as_folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


def anothers(path: Path) -> None:
    path.unlink()
    sql(path, "CREATE TABLE notes (id TEXT)")


SPOILT: dict[str, tuple[type[ObslogError], Callable[[Path], object]]] = {
    "nothing there": (NoSuchCopy, Path.unlink),
    "a folder": (CopyIsFolder, as_folder),
    "empty": (EmptyCopy, lambda path: path.write_bytes(b"")),
    "a piece of the header": (CopyCutShort, lambda path: path.write_bytes(path.read_bytes()[:60])),
    "the last page missing": (CopyCutShort, lambda path: path.write_bytes(path.read_bytes()[:-4096])),
    "a text": (NotACopy, lambda path: path.write_text("set-ups of last winter\n" * 300)),
    "another program's": (NotACopy, anothers),
    "with tables of its own revisions": (NotACopy, lambda path: sql(path, "DROP TABLE acts")),
    "without a revision": (NotACopy, lambda path: sql(path, "DELETE FROM alembic_version")),
    "newer": (NewerCopy, lambda path: sql(path, "UPDATE alembic_version SET version_num = '9999'")),
    "rows that refer to nothing": (DamagedCopyFound, lambda path: sql(path, A_LOOSE_NIGHT)),
    "a flipped bit in an index": (DamagedCopyFound, flip_in_an_index),
    "a page of rubbish": (
        DamagedCopyFound,
        lambda path: path.write_bytes(path.read_bytes()[:4096] + b"\xff" * 4096 + path.read_bytes()[8192:]),
    ),
}


@pytest.mark.parametrize("how", SPOILT)
def test_what_is_wrong_with_a_copy_has_words_of_its_own(copy: Path, how: str) -> None:
    expected, spoil = SPOILT[how]
    spoil(copy)
    before = copy.read_bytes() if copy.is_file() else None
    with pytest.raises(ObslogError) as caught:
        look_at(copy, KNOWN)
    assert type(caught.value) is expected
    assert str(copy) in caught.value.message
    assert "Nothing was changed" in caught.value.hint
    assert (copy.read_bytes() if copy.is_file() else None) == before


def test_no_two_reasons_are_told_alike(tmp_path: Path) -> None:
    told = [kind(tmp_path).message for kind in (NoSuchCopy, CopyIsFolder, EmptyCopy, NotACopy)]
    told += [
        CopyCutShort(str(tmp_path), 1).message,
        NewerCopy(tmp_path, "9").message,
        DamagedCopyFound(tmp_path, []).message,
    ]
    assert len(set(told)) == 7


def test_a_sound_copy_is_counted_and_left_alone_with_nothing_beside_it(copy: Path, tmp_path: Path) -> None:
    before, beside = copy.read_bytes(), sorted(tmp_path.iterdir())
    looked = look_at(copy, KNOWN)
    assert looked.revision == SCHEMA_REVISION
    with closing(sqlite3.connect(copy)) as file:
        assert looked.rows["members"] == file.execute("SELECT count(*) FROM members").fetchone()[0] > 0
    assert copy.read_bytes() == before
    assert sorted(tmp_path.iterdir()) == beside


def test_rows_that_wait_in_a_log_beside_a_copy_count(copy: Path, tmp_path: Path) -> None:
    with closing(sqlite3.connect(copy, isolation_level=None)) as file:
        file.execute("PRAGMA journal_mode=WAL")
        file.execute("DELETE FROM changes")
        file.execute("DELETE FROM acts")
        moved = tmp_path / "moved"
        moved.mkdir()
        for ending in ("", "-wal"):
            shutil.copy(f"{copy}{ending}", moved)
    assert look_at(moved / "copy.db", KNOWN).rows["acts"] == 0


def test_a_copy_that_another_program_writes_to_alone_is_in_use(copy: Path) -> None:
    with closing(sqlite3.connect(copy, isolation_level=None)) as file:
        file.execute("PRAGMA journal_mode=DELETE")
        file.execute("BEGIN EXCLUSIVE")
        copy.with_name("copy.db-wal").write_bytes(b"x")  # so that it is not read as it lies
        with pytest.raises(DatabaseInUse):
            look_at(copy, KNOWN)
