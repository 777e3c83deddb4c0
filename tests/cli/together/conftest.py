"""Two laptops of the invented club as two files: `--db` says on which of them something is typed."""

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.cli.program import Program


@pytest.fixture
def two_laptops(in_club: Program, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Program:
    """The program in an empty folder with two files of one club, a.db and b.db, by the clock of this machine."""
    folder = tmp_path / "laptops"
    folder.mkdir()
    for name in ("a.db", "b.db"):
        shutil.copy(in_club.environment["OBSLOG_DB"], folder / name)
    monkeypatch.chdir(folder)
    in_club.now = datetime.now(UTC)  # the keys of acts are made by it, and none may be of a later time
    return in_club
