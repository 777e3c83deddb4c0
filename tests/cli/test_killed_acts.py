"""An act that is killed at any of its statements is on record as a whole or not at all."""

import io
import json
import re
import shutil
import sqlite3
from contextlib import closing, redirect_stderr, redirect_stdout
from datetime import UTC, datetime
from pathlib import Path

import pytest

from obslog.cli.main import main
from tests.cli.conftest import typed
from tests.records.children import kill_at_each_statement, left_at_each_statement

EVENING = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
KIT = "kit add|Evening kit|--part Heron --part|Wide 25|--part|dust cap|"
OUT = "loan out|Evening kit|Ines --all-good --terms --deposit 50"
# What went before, and the act.
ACTS: dict[str, tuple[list[str], list[str]]] = {
    "a check": ([], ["check", "Capella", "3E", "2N", "--at", "21:39"]),
    "a set-up": ([], ["setup", "start", "Bracken", "--at", "21:39"]),
    "a kit": (
        [],
        ["kit", "add", "Evening kit", "--part", "Heron", "--part", "Wide 25", "--part", "dust cap"],
    ),
    "a loan": ([KIT], ["loan", "out", "Evening kit", "Ines", "--all-good", "--terms", "--deposit", "50"]),
    "a return with a part missing": (
        [KIT, OUT],
        ["loan", "back", "Evening kit", "--part", "Wide 25=missing: in the grass", "--all-good"],
    ),
    "an undoing": ([KIT, OUT], ["undo"]),
    "a doing again": ([KIT, OUT, "undo"], ["redo"]),
    "a member who leaves": ([], ["member", "leave", "Bram Ostler", "--yes"]),
}
KILLED = """
import io, json, shutil
from contextlib import redirect_stderr, redirect_stdout
from obslog.cli.main import main

folder, words = Path(sys.argv[1]), json.loads(sys.argv[2])

def prepare(number):
    shutil.copy(folder / "source.db", folder / f"killed{number}.db")

def work(number):
    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()) as said:
        path = folder / f"killed{number}.db"
        if main(words, lambda: NOW, {"OBSLOG_DB": str(path), "OBSLOG_CONFIG": str(folder / "settings")}):
            raise AssertionError(said.getvalue())
"""


def records_of(path: Path, leaving_out: str = "no table") -> list[str]:
    """All rows of all tables but one; keys are numbered as they come, for they are new each time."""
    with closing(sqlite3.connect(path)) as file:
        assert file.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert file.execute("PRAGMA foreign_key_check").fetchall() == []
        lines = [line for line in file.iterdump() if line.startswith("INSERT") and leaving_out not in line]
    numbers: dict[str, str] = {}
    keys = re.compile(r"\b[0-9a-f]{8}-?(?:[0-9a-f]{4}-?){3}[0-9a-f]{12}\b")

    def number(key: re.Match[str]) -> str:
        return numbers.setdefault(key[0].replace("-", ""), f"#{len(numbers)}")

    return [keys.sub(number, line) for line in lines]


@pytest.mark.slow
@pytest.mark.parametrize("act", ACTS)
def test_an_act_killed_at_any_statement_is_there_as_a_whole_or_not_at_all(
    act: str, outside_template: Path, tmp_path: Path
) -> None:
    before, words = ACTS[act]
    path = tmp_path / "act" / "club.db"
    path.parent.mkdir()
    typed(Path(shutil.copy(outside_template, path)), before)
    settings = shutil.move(path.with_name("settings"), tmp_path) if before else tmp_path / "settings"
    old = records_of(path)
    heard = io.StringIO()
    with (
        left_at_each_statement(path.parent, tmp_path / "left") as folders,
        redirect_stdout(heard),
        redirect_stderr(heard),
    ):
        environment = {"OBSLOG_DB": str(path), "OBSLOG_CONFIG": str(settings)}  # the same computer
        assert main(words, lambda: EVENING, environment) == 0, heard.getvalue()
    new = records_of(path)
    assert new != old
    assert len(folders) > 3
    left = [records_of(folder / "club.db") for folder in folders]
    done = left.index(new) if new in left else len(left)
    assert left == [old] * done + [new] * (len(left) - done)


@pytest.mark.slow
def test_a_copy_made_before_a_statement_is_what_a_kill_there_leaves(
    outside_template: Path, tmp_path: Path
) -> None:
    before, words = ACTS["a return with a part missing"]
    source = typed(Path(shutil.copy(outside_template, tmp_path / "source.db")), before)
    old = records_of(source)
    statements = kill_at_each_statement(KILLED, tmp_path, json.dumps(words))
    new = records_of(tmp_path / "killed0.db")
    left = [records_of(tmp_path / f"killed{number}.db") for number in range(1, statements + 1)]
    done = left.index(new) if new in left else statements
    assert left == [old] * done + [new] * (statements - done)
