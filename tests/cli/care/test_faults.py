"""A copy, a going back, an upgrade, an import, each killed or failed by the disk at any call: nothing is lost or torn.

In the suite at some of the calls; at each of them with OBSLOG_EVERY_FAULT=1. What was acknowledged (exit code 0) is on
record; what was not is there as a whole or not at all, and whoever was told of an error was told in two lines.
"""

import re
import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from obslog.cli.main import main
from obslog.records.care.going_back import look_back
from obslog.records.engine import make_engine
from obslog.records.opening import open_database
from obslog.records.upgrading import upgrade
from tests.cli import test_killed_acts
from tests.records.faults import ACTIONS, DONE, TOLD, every, faults_at_each

NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)  # as in the children
SHEET = """night,site,observer,mount,tube,utc,role,target,offset_east_arcmin,offset_north_arcmin,landing
2026-03-01,Mill Field,Ines,Heron,Long tube,2026-03-01T20:41:00Z,sync,Capella,3,2,
2026-03-01,Mill Field,Ines,Heron,Long tube,2026-03-01T20:52:00Z,check,Procyon,-4,1,
"""
pytestmark = [pytest.mark.slow, pytest.mark.parametrize("action", ACTIONS)]


def records_of(path: Path) -> list[str]:
    """All that is on record; what was computed from it is none of it, and is written when the rest is done.

    Of the keys that an act holds together as bytes, new each time, the number is told.
    """
    lines = test_killed_acts.records_of(path, leaving_out='INTO "kept_results"')
    return [re.sub(r"X'([0-9A-F]*)'", lambda found: f"{len(found[1]) // 32} keys", line) for line in lines]


@pytest.fixture
def source(outside_template: Path, tmp_path: Path) -> Path:
    """A folder with the database of an evening, and nothing else."""
    folder = tmp_path / "source"
    folder.mkdir()
    path = Path(shutil.copy(outside_template, folder / "club.db"))
    path.chmod(0o600)
    return folder


def typed(folder: Path, *words: str, at: datetime = NOW) -> None:
    assert main(words, lambda: at, {"OBSLOG_DB": str(folder / "club.db")}) == 0


def runs(source: Path, tmp_path: Path, words: list[str], action: str, step: int) -> list[tuple[Path, int]]:
    """The folder that each run left, and how it ended; more than a few were hit, and none failed unexpectedly."""
    out = tmp_path / "out"
    out.mkdir()
    endings = faults_at_each(source, out, words, ACTIONS[action], step=every(step))
    assert len(endings) > 5
    for number, ending in endings:
        said = (out / f"{number}.said").read_text() if ending >= 0 else ""
        assert ending < 0 or ending in (DONE, TOLD), said
        assert "unexpected" not in said
    return [(out / str(number), ending) for number, ending in endings]


def goes_on(folder: Path) -> None:
    """The program itself can be used on what was left."""
    said: list[str] = []
    open_database(str(folder / "club.db"), NOW + timedelta(days=1), said.append).close()
    assert not any("New database" in line for line in said)


def test_a_copy(source: Path, tmp_path: Path, action: str) -> None:
    records = records_of(source / "club.db")
    for folder, ending in runs(source, tmp_path, ["db", "backup", "copy.db"], action, 7):
        assert records_of(folder / "club.db") == records
        copy = folder / "copy.db"
        assert copy.exists() or ending != DONE
        assert not copy.exists() or records_of(copy) == records
        goes_on(folder)


def test_a_dated_copy_after_which_an_older_one_goes(source: Path, tmp_path: Path, action: str) -> None:
    for days in (30, 20):
        typed(source, "db", "backup", at=NOW - timedelta(days=days))
    records = records_of(source / "club.db")
    words = ["db", "backup", "--days", "1", "--weeks", "0", "--months", "0"]
    for folder, ending in runs(source, tmp_path, words, action, 7):
        assert records_of(folder / "club.db") == records
        copies = list((folder / "club-copies").glob("club-*.db"))
        assert copies
        assert all(records_of(copy) == records for copy in copies)
        if ending == DONE:
            assert (folder / "club-copies" / "club-20260302T214000Z.db") in copies


def test_going_back(source: Path, tmp_path: Path, action: str) -> None:
    typed(source, "db", "backup", str(source / "copy.db"))
    restored = records_of(source / "club.db")
    typed(source, "snag", "add", "power", "flat battery")
    typed(source, "member", "add", "Cleo Marsh")
    present = records_of(source / "club.db")
    for folder, ending in runs(source, tmp_path, ["db", "restore", "copy.db", "--yes"], action, 5):
        left = records_of(folder / "club.db")
        assert left == restored if ending == DONE else left in (present, restored)
        kept = list(folder.glob("club.before-restore-*Z.db"))
        assert left == present or present in [records_of(one) for one in kept]
        assert records_of(folder / "copy.db") == restored
        goes_on(folder)
        assert look_back(folder / "club.db", folder / "copy.db").unreadable is None


def test_an_import(source: Path, tmp_path: Path, action: str, monkeypatch: pytest.MonkeyPatch) -> None:
    (source / "night.csv").write_text(SHEET)
    before = records_of(source / "club.db")
    after_in = tmp_path / "after"
    shutil.copytree(source, after_in)
    monkeypatch.chdir(after_in)  # the act is called after the file as it was named
    typed(after_in, "import", "arrivals", "night.csv")
    after = records_of(after_in / "club.db")
    assert len(after) > len(before)
    for folder, ending in runs(source, tmp_path, ["import", "arrivals", "night.csv"], action, 3):
        left = records_of(folder / "club.db")
        assert left == after if ending == DONE else left in (before, after)
        goes_on(folder)


def test_an_upgrade(source: Path, tmp_path: Path, action: str) -> None:
    path = source / "club.db"
    path.unlink()
    engine = make_engine(str(path))
    upgrade(engine, revision="0009")
    engine.dispose()
    with closing(sqlite3.connect(path)) as file:
        key = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
        file.execute(f"INSERT INTO members (id, name, name_key) VALUES ('{key}', 'Ines', 'ines')")
        file.execute(f"INSERT INTO sites (id, name, name_key) VALUES ('{key}', 'Mill Field', 'mill field')")
        file.commit()
    path.chmod(0o600)
    before = records_of(path)
    upgraded = tmp_path / "upgraded"
    shutil.copytree(source, upgraded)
    typed(upgraded, "site", "list")
    after = records_of(upgraded / "club.db")
    assert after != before
    for folder, ending in runs(source, tmp_path, ["site", "list"], action, 23):
        left = records_of(folder / "club.db")
        assert left == after if ending == DONE else left in (before, after)
        for copy in folder.glob("club.before-*Z.db"):
            assert records_of(copy) == before
        if left == after:
            assert len(list(folder.glob("club.before-*Z.db"))) == 1
        goes_on(folder)
