"""Copies, goings back, upgrades, imports, merges and repairs, killed or failed by the disk at any call: all is whole.

In the suite at some of the calls; at each of them with OBSLOG_EVERY_FAULT=1. What was acknowledged (exit code 0) is on
record; what was not is there as a whole or not at all, and whoever was told of an error was told in two lines.
"""

import io
import re
import shutil
import sqlite3
import sys
from collections import Counter
from contextlib import closing, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from obslog.cli.main import main
from obslog.records.care.copies_before import copy_before
from obslog.records.care.going_back import look_back
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.records.opening import open_database
from obslog.records.upgrading import upgrade
from tests.cli import test_killed_acts
from tests.records.care.spoilt import spoil
from tests.records.faults import ACTIONS, DONE, TOLD, every, faults_at_each

NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)  # as in the children
SHEET = """night,site,observer,mount,tube,utc,role,target,offset_east_arcmin,offset_north_arcmin,landing
2026-03-01,Mill Field,Ines,Heron,Long tube,2026-03-01T20:41:00Z,sync,Capella,3,2,
2026-03-01,Mill Field,Ines,Heron,Long tube,2026-03-01T20:52:00Z,check,Procyon,-4,1,
"""
# What a disk is not to be told as.
OTHER_CAUSES = {
    "on a full disk": ("Another program", "has been writing"),
    "on a failing disk": ("Another program", "has been writing", "no room left"),
}
pytestmark = [pytest.mark.slow, pytest.mark.parametrize("action", ACTIONS)]


def records_of(path: Path) -> list[str]:
    """All that is on record; what was computed from it is none of it, and is written when the rest is done.

    Of the keys that an act holds together as bytes, new each time, the number is told.
    """
    lines = test_killed_acts.records_of(path, leaving_out='INTO "kept_results"')
    return [re.sub(r"X'([0-9A-F]*)'", lambda found: f"{len(found[1]) // 32} keys", line) for line in lines]


@pytest.fixture
def source(outside_template: Path, tmp_path: Path) -> Path:
    """A folder with the database of an evening, and the settings of a computer that is known by a key."""
    folder = tmp_path / "source"
    (folder / "settings").mkdir(parents=True)
    (folder / "settings" / "origin").write_text("6d9f0a3e-52b7-4c1d-9e70-0d4a8f6b2c15\n")
    path = Path(shutil.copy(outside_template, folder / "club.db"))
    path.chmod(0o600)
    return folder


def typed(folder: Path, *words: str, at: datetime = NOW) -> None:
    environment = {"OBSLOG_DB": str(folder / "club.db"), "OBSLOG_CONFIG": str(folder / "settings")}
    with redirect_stdout(io.StringIO()) as said, redirect_stderr(said):
        code = main(words, lambda: at, environment)
    assert code == 0, said.getvalue()


@dataclass(frozen=True, slots=True)
class Run:
    """The folder that a run left, and how it ended: done, told of an error in two lines, or killed."""

    folder: Path
    ending: int
    said: str

    @property
    def done(self) -> bool:
        return self.ending == DONE

    @property
    def undone(self) -> bool:
        """Whether it has said that all is as before."""
        return self.ending == TOLD and "Nothing was changed." in self.said

    def in_words(self) -> str:
        """How it ended; one that failed did so in two lines, none of them unexpected."""
        if self.ending < 0:
            return "killed"
        assert self.ending in (DONE, TOLD), self.said
        assert "unexpected" not in self.said
        if self.done:
            return "done"
        what, do = self.said.splitlines()[-2:]
        return re.sub(r"/\S*/", "", f"told: {what} {do}")


def runs(source: Path, tmp_path: Path, words: list[str], action: str, step: int) -> list[Run]:
    """What each run left; more than a few were hit, and none failed unexpectedly. Printed: how many ended how."""
    out = tmp_path / "out"
    out.mkdir()
    endings = faults_at_each(source, out, words, ACTIONS[action], step=every(step))
    assert len(endings) > 5
    found = [
        Run(out / str(number), ending, (out / f"{number}.said").read_text() if ending >= 0 else "")
        for number, ending in endings
    ]
    told = Counter(run.in_words() for run in found)
    assert not [words for words in told if any(cause in words for cause in OTHER_CAUSES.get(action, ()))]
    lines = [f"{len(found)} faults, {action}:", *(f"  {count} {what}" for what, count in told.most_common())]
    sys.stdout.write("\n".join(lines))
    return found


def goes_on(folder: Path) -> None:
    """The program itself can be used on what was left."""
    said: list[str] = []
    open_database(str(folder / "club.db"), NOW + timedelta(days=1), said.append).close()
    assert not any("New database" in line for line in said)


def test_a_copy(source: Path, tmp_path: Path, action: str) -> None:
    records = records_of(source / "club.db")
    for run in runs(source, tmp_path, ["db", "backup", "copy.db"], action, 7):
        assert records_of(run.folder / "club.db") == records
        copy = run.folder / "copy.db"
        assert copy.exists() or not run.done
        assert not copy.exists() or records_of(copy) == records
        goes_on(run.folder)


def test_a_dated_copy_after_which_an_older_one_goes(source: Path, tmp_path: Path, action: str) -> None:
    for days in (30, 20):
        typed(source, "db", "backup", at=NOW - timedelta(days=days))
    records = records_of(source / "club.db")
    words = ["db", "backup", "--days", "1", "--weeks", "0", "--months", "0"]
    for run in runs(source, tmp_path, words, action, 7):
        assert records_of(run.folder / "club.db") == records
        copies = list((run.folder / "club-copies").glob("club-*.db"))
        assert copies
        assert all(records_of(copy) == records for copy in copies)
        if run.done:
            assert (run.folder / "club-copies" / "club-20260302T214000Z.db") in copies


def test_going_back(source: Path, tmp_path: Path, action: str) -> None:
    typed(source, "db", "backup", str(source / "copy.db"))
    restored = records_of(source / "club.db")
    typed(source, "snag", "add", "power", "flat battery")
    typed(source, "member", "add", "Cleo Marsh")
    present = records_of(source / "club.db")
    for run in runs(source, tmp_path, ["db", "restore", "copy.db", "--yes"], action, 5):
        left = records_of(run.folder / "club.db")
        assert left == restored if run.done else left in (present, restored)
        assert left == present or not run.undone, run.said
        kept = list(run.folder.glob("club.before-restore-*Z.db"))
        assert left == present or present in [records_of(one) for one in kept]
        assert records_of(run.folder / "copy.db") == restored
        goes_on(run.folder)
        assert look_back(run.folder / "club.db", run.folder / "copy.db").unreadable is None


def test_an_import(source: Path, tmp_path: Path, action: str, monkeypatch: pytest.MonkeyPatch) -> None:
    (source / "night.csv").write_text(SHEET)
    before = records_of(source / "club.db")
    after_in = tmp_path / "after"
    shutil.copytree(source, after_in)
    monkeypatch.chdir(after_in)  # the act is called after the file as it was named
    typed(after_in, "import", "arrivals", "night.csv")
    after = records_of(after_in / "club.db")
    assert len(after) > len(before)
    for run in runs(source, tmp_path, ["import", "arrivals", "night.csv"], action, 3):
        left = records_of(run.folder / "club.db")
        assert left == after if run.done else left in (before, after)
        assert left == before or not run.undone, run.said
        goes_on(run.folder)


def test_a_merge(
    source: Path, outside_template: Path, tmp_path: Path, action: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A night that two wrote, a thing that both have lent, a name that is there twice, a change of one field."""
    there = tmp_path / "there"
    (there / "settings").mkdir(parents=True)
    shutil.copy(outside_template, there / "club.db")
    for folder, borrower in ((source, "Ines"), (there, "Bram Ostler")):
        typed(folder, "loan", "out", "Lead battery", borrower, "--terms")
        typed(folder, "member", "add", "Cleo Marsh")
    typed(there, "sync", "Procyon", "3E", "2N")
    typed(there, "site", "edit", "Mill Field", "--elevation-m", "25")
    typed(there, "bundle", "write", str(source / "there.bundle"))
    old = _old_copies(source / "club.db")
    before = records_of(source / "club.db")
    after_in = Path(shutil.copytree(source, tmp_path / "after"))
    monkeypatch.chdir(after_in)
    typed(after_in, "merge", "there.bundle")
    after = records_of(after_in / "club.db")
    assert len(after) > len(before)
    for run in runs(source, tmp_path, ["merge", "there.bundle"], action, 3):
        left = records_of(run.folder / "club.db")
        assert left == after if run.done else left in (before, after)
        assert left == before or not run.undone, run.said
        copies = {copy.name: copy for copy in run.folder.glob("club.before-merge-*.db")}
        for name in copies.keys() - old:
            assert records_of(copies[name]) == before
        assert old.keys() - copies.keys() <= ({min(old)} if left == after else set())
        assert all(copies[name].read_bytes() == old[name] for name in old.keys() & copies.keys())
        goes_on(run.folder)
        monkeypatch.chdir(run.folder)
        typed(run.folder, "merge", "there.bundle")
        assert records_of(run.folder / "club.db") == after


def _old_copies(path: Path) -> dict[str, bytes]:
    """Five copies from before earlier merges, by their names; the oldest may go when another merge has ended well."""
    database = Database(make_engine(str(path)), str(path))
    made = [copy_before(database, "merge", NOW - timedelta(days=days)) for days in (60, 50, 40, 30, 20)]
    database.close()
    return {copy.name: copy.read_bytes() for copy in made if copy is not None}


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
    for run in runs(source, tmp_path, ["site", "list"], action, 23):
        left = records_of(run.folder / "club.db")
        assert left == after if run.done else left in (before, after)
        assert left == before or not run.undone, run.said
        for copy in run.folder.glob("club.before-*Z.db"):
            assert records_of(copy) == before
        if left == after:
            assert len(list(run.folder.glob("club.before-*Z.db"))) == 1
        goes_on(run.folder)


def test_a_repair(source: Path, tmp_path: Path, action: str) -> None:
    """Indexes, a trigger and a search text, made anew in one: whatever stops it, the next repair does the rest."""
    path = source / "club.db"
    typed(source, "snag", "add", "power", "flat battery")
    sound = _but_for_counts(path)
    triggers = _triggers(path)
    spoil(
        path,
        "DROP INDEX ix_setups_mount_id",
        "CREATE INDEX ix_setups_mount_id ON setups (ordinal)",
        "DROP TRIGGER count_changes_of_nights_update",
        "UPDATE snags SET search_text = 'frost'",
    )
    spoilt = _but_for_counts(path)
    assert spoilt != sound
    for run in runs(source, tmp_path, ["db", "check", "--repair"], action, 37):
        left = _but_for_counts(run.folder / "club.db")
        assert left == sound if run.done else left in (spoilt, sound)
        assert left == spoilt or not run.undone, run.said
        assert (_triggers(run.folder / "club.db") == triggers) == (left == sound)
        for copy in run.folder.glob("club.before-repair-*.db"):
            assert _but_for_counts(copy) == spoilt
        typed(run.folder, "db", "check", "--repair")  # it ends well where nothing is left to put right
        assert _but_for_counts(run.folder / "club.db") == sound
        goes_on(run.folder)


def _but_for_counts(path: Path) -> list[str]:
    """The records; how often they have changed, as the triggers count it, goes on with each try."""
    return [line for line in records_of(path) if "mount_changes" not in line]


def _triggers(path: Path) -> set[str]:
    with closing(sqlite3.connect(path)) as file:
        return {sql for (sql,) in file.execute("SELECT sql FROM sqlite_master WHERE type = 'trigger'")}
