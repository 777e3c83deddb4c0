"""Whatever file is named as the database, two lines say what it is and what to do, and it is left as it was."""

import os
import random
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from obslog.records.upgrading import SCHEMA_REVISION
from tests.cli.program import Program

COMMANDS = ["db check", "night list", "undo", "find fog", "sync Vega 1E 2N"]


def cut_to(size: int) -> Callable[[Path], object]:
    return lambda path: path.write_bytes(path.read_bytes()[:size])


def with_tables(*statements: str) -> Callable[[Path], None]:
    def make(path: Path) -> None:
        path.unlink()
        with closing(sqlite3.connect(path)) as other:
            for statement in statements:
                other.execute(statement)
            other.commit()

    return make


def with_flipped_bytes(path: Path) -> None:
    """As a failing card would leave it; the header stays."""
    content, lot = bytearray(path.read_bytes()), random.Random(1)
    for _ in range(len(content) // 200):
        content[lot.randrange(100, len(content))] ^= 0xFF
    path.write_bytes(content)


def as_folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


FILES: dict[str, Callable[[Path], object]] = {
    "empty": cut_to(0),
    "a piece of the header": cut_to(60),
    "the first page": cut_to(4096),
    "half": cut_to(50_000),
    "a text": lambda path: path.write_text("set-ups of last winter\n" * 300, encoding="utf-8"),
    "another program's": with_tables("CREATE TABLE notes (id INTEGER, note TEXT)"),
    "another's with revisions": with_tables(
        "CREATE TABLE alembic_version (version_num TEXT)",
        f"INSERT INTO alembic_version VALUES ('{SCHEMA_REVISION}')",
    ),
    "without its tables": with_tables(
        "PRAGMA journal_mode=WAL",  # as in a file of ours
        "CREATE TABLE alembic_version (version_num TEXT)",
        f"INSERT INTO alembic_version VALUES ('{SCHEMA_REVISION}')",
        "CREATE TABLE acts (id TEXT)",
    ),
    "flipped bytes": with_flipped_bytes,
    "a folder": as_folder,
}


@pytest.mark.parametrize("make", FILES.values(), ids=FILES.keys())
def test_a_file_that_is_none_is_told_in_two_lines_and_left_alone(
    outside: Program, make: Callable[[Path], object]
) -> None:
    path = Path(outside.environment["OBSLOG_DB"])
    make(path)
    if path.is_file():
        path.chmod(0o600)  # else it is told as well that others could read it
    before = path.read_bytes() if path.is_file() else None
    for line in COMMANDS:
        answer = outside(*line.split())
        assert answer.code == 1, line
        assert "unexpected" not in answer.err
        assert str(path) in answer.err
        assert len(answer.error_lines) == 2
    assert (path.read_bytes() if path.is_file() else None) == before


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="the superuser may read anything")
def test_a_file_without_permission_is_told(outside: Program) -> None:
    path = Path(outside.environment["OBSLOG_DB"])
    path.chmod(0)
    for line in COMMANDS:
        answer = outside(*line.split())
        assert (answer.code, len(answer.error_lines)) == (1, 2)
        assert "unexpected" not in answer.err


def test_damaged_values_are_found_without_stumbling_over_them(outside: Program) -> None:
    path = Path(outside.environment["OBSLOG_DB"])
    shutil.copy(path, path.with_name("copy.db"))
    with closing(sqlite3.connect(path)) as other:
        other.execute("PRAGMA foreign_keys=OFF")
        other.execute("UPDATE setups SET id = 'no key', note = 'fog', search_text = 'frost'")
        other.execute("DELETE FROM arrivals")
        other.commit()
    answer = outside("db", "check")
    assert answer.code == 1
    assert "1 row of setups cannot be found by the words in them, the first with key no key" in answer.out
