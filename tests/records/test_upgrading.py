"""An older database is upgraded as a whole or not at all, whatever happens on the way."""

import hashlib
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import text

from obslog.records.care.copies_before import copy_before
from obslog.records.database import Database
from obslog.records.driver_errors import DiskFull
from obslog.records.engine import make_engine
from obslog.records.opening import open_database
from obslog.records.upgrading import SCHEMA_REVISION, BrokenReferences, TablesMissing, upgrade
from obslog.settings import resource_dir
from tests.records.children import kill_at_each_statement, left_at_each_statement, output, side_by_side, start

Later = Callable[[str], Path]

KEY = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
LATER = f"{int(SCHEMA_REVISION) + 1:04d}"  # a revision that the program does not have yet
REVISION = f"""
import sqlalchemy as sa
from alembic import op

revision = "{LATER}"
down_revision = "{SCHEMA_REVISION}"


def upgrade():
"""
ADD_A_BADGE = """
op.add_column("members", sa.Column("badge", sa.Text()))
op.execute("UPDATE members SET badge = 'badge of ' || name")
op.create_table("badges", sa.Column("id", sa.Text(), primary_key=True))
op.create_index("ix_badges_id", "badges", ["id"])
rebuild = "always" if op.get_bind().dialect.name == "sqlite" else "never"
with op.batch_alter_table("sites", recreate=rebuild) as sites:
    sites.add_column(sa.Column("shelter", sa.Text()))
"""
OPENED = """
import shutil
folder = Path(sys.argv[2])
source, migrations = folder / "source.db", Path(sys.argv[1]) if sys.argv[1] != "-" else None

def prepare(number):
    if source.exists():
        shutil.copy(source, folder / f"killed{number}.db")

def work(number):
    open_database(str(folder / f"killed{number}.db"), NOW, lambda said: None, migrations=migrations).close()
"""
KILLED_OPENING = """
import os, signal
from sqlalchemy import Engine, event

@event.listens_for(Engine, "before_cursor_execute")
def stop(connection, cursor, statement, *_):
    if "CREATE TABLE loans" in statement:
        os.kill(os.getpid(), signal.SIGKILL)

open_database(sys.argv[1], NOW, lambda said: None)
"""
UPGRADE_AND_SAY = """
def work():
    open_database(sys.argv[1], NOW, print, migrations=Path(sys.argv[2])).close()
"""


@pytest.fixture
def later(tmp_path: Path) -> Later:
    """Makes a folder of revisions with one more than the program has, whose upgrade is the given statements."""

    def make(statements: str) -> Path:
        folder = tmp_path / "later"
        ignored = shutil.ignore_patterns("__pycache__")
        shutil.copytree(resource_dir("migrations"), folder, ignore=ignored)
        body = "".join(f"    {line}\n" for line in statements.strip().splitlines())
        (folder / "versions" / f"{LATER}_later.py").write_text(REVISION + body)
        return folder

    return make


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def facts(path: Path) -> tuple[str, list[tuple[str]], int, str]:
    """The revision, the members, the number of objects in the schema, and what a full check says."""
    with closing(sqlite3.connect(path)) as file:
        return (
            file.execute("SELECT version_num FROM alembic_version").fetchone()[0],
            file.execute("SELECT name FROM members ORDER BY name").fetchall(),
            file.execute("SELECT count(*) FROM sqlite_master").fetchone()[0],
            file.execute("PRAGMA integrity_check").fetchone()[0],
        )


@pytest.fixture
def older_file(sqlite_path: Path) -> Path:
    """A file of the newest revision with a member and a site in it, closed."""
    with closing(sqlite3.connect(sqlite_path)) as file:
        key = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
        file.execute("INSERT INTO members (id, name, name_key) VALUES (?, 'Ines', 'ines')", [key])
        file.execute(
            "INSERT INTO sites (id, name, name_key, lat_deg) VALUES (?, 'Ridge', 'ridge', 52.2)", [key]
        )
        file.commit()
    return sqlite_path


def copies_of(path: Path) -> list[Path]:
    return list(path.parent.glob("*.before-*"))


def test_an_older_file_is_upgraded_after_a_copy_of_it_was_made(
    older_file: Path, later: Later, now: datetime, said: list[str]
) -> None:
    before = facts(older_file)
    database = open_database(str(older_file), now, said.append, migrations=later(ADD_A_BADGE))
    with database.read() as session:
        assert session.execute(text("SELECT badge FROM members")).all() == [("badge of Ines",)]
    database.close()
    (copy,) = copies_of(older_file)
    assert copy.name == f"club.before-{LATER}-20260302T214000Z.db"
    assert facts(copy) == before
    assert said == [f"Upgraded {older_file}; a copy of it as it was is {copy}"]


def test_older_copies_from_before_upgrades_go_when_an_upgrade_has_ended_well(
    older_file: Path, later: Later, now: datetime, said: list[str]
) -> None:
    database = Database(make_engine(str(older_file)), str(older_file))
    old = [copy_before(database, "0012", now - timedelta(days=days)) for days in (60, 50, 40, 30, 20)]
    database.close()
    failing = later(ADD_A_BADGE + "1 / 0\n").rename(older_file.with_name("failing"))
    with pytest.raises(ZeroDivisionError):
        open_database(str(older_file), now, said.append, migrations=failing)
    assert said == []
    assert sorted(copies_of(older_file)) == old
    open_database(str(older_file), now, said.append, migrations=later(ADD_A_BADGE)).close()
    assert [copy.exists() for copy in old if copy] == [False, True, True, True, True]
    assert said[1].startswith("1 older copy from before upgrades, merges or repairs was removed;")


def test_an_upgraded_file_is_not_upgraded_again(
    older_file: Path, later: Later, now: datetime, said: list[str]
) -> None:
    folder = later(ADD_A_BADGE)
    for _ in range(2):
        open_database(str(older_file), now, said.append, migrations=folder).close()
    assert len(said) == len(copies_of(older_file)) == 1


def test_a_table_that_is_rebuilt_stays_strict_and_keeps_its_rules(
    older_file: Path, later: Later, now: datetime, said: list[str]
) -> None:
    open_database(str(older_file), now, said.append, migrations=later(ADD_A_BADGE)).close()
    with closing(sqlite3.connect(older_file)) as file:
        with pytest.raises(sqlite3.IntegrityError, match="ck_sites_lat_deg_range"):
            file.execute("UPDATE sites SET lat_deg = 95")
        with pytest.raises(sqlite3.IntegrityError, match="cannot store TEXT value in REAL column"):
            file.execute("UPDATE sites SET lat_deg = 'north'")


def test_an_older_database_on_a_server_is_upgraded(
    new_postgres_url: Callable[[], str], later: Later, now: datetime, said: list[str]
) -> None:
    url = new_postgres_url()
    open_database(url, now, said.append).close()
    database = open_database(url, now, said.append, migrations=later(ADD_A_BADGE))
    with database.read() as session:
        assert session.execute(text("SELECT badge FROM members")).all() == []
    database.close()


def test_a_program_that_fails_while_upgrading_changes_no_byte(
    older_file: Path, later: Later, now: datetime, said: list[str]
) -> None:
    before = digest(older_file)
    with pytest.raises(ZeroDivisionError):
        open_database(str(older_file), now, said.append, migrations=later(ADD_A_BADGE + "1 / 0\n"))
    assert digest(older_file) == before
    assert facts(older_file)[0] == SCHEMA_REVISION


def test_a_statement_that_fails_while_upgrading_changes_nothing_on_a_server(
    new_postgres_url: Callable[[], str], later: Later, now: datetime, said: list[str]
) -> None:
    url = new_postgres_url()
    database = open_database(url, now, said.append)
    with pytest.raises(TablesMissing, match="nowhere"):
        open_database(url, now, said.append, migrations=later(ADD_A_BADGE + "op.drop_table('nowhere')\n"))
    with database.read() as session:
        assert session.scalar(text("SELECT version_num FROM alembic_version")) == SCHEMA_REVISION
        assert session.scalar(text("SELECT to_regclass('badges')")) is None
    database.close()


def test_an_upgrade_that_would_leave_references_to_nothing_changes_no_byte(
    older_file: Path, later: Later, now: datetime, said: list[str]
) -> None:
    with closing(sqlite3.connect(older_file)) as file:
        file.execute(
            "INSERT INTO nights (id, site_id, night_of, open) SELECT id, id, '2026-03-02', 0 FROM sites"
        )
        file.commit()
    before = digest(older_file)
    with pytest.raises(BrokenReferences, match="nights"):
        open_database(str(older_file), now, said.append, migrations=later('op.execute("DELETE FROM sites")'))
    assert digest(older_file) == before


@pytest.mark.parametrize(
    ("revision", "lost", "told"),
    [
        ("0004", "TABLE club_rules", "no such table: club_rules"),  # by a table that is made anew
        ("0003", "TABLE snags", "no such table: snags"),  # by a statement
        ("0004", "INDEX ix_observations_search", "no such index: ix_observations_search"),
    ],
)
def test_an_older_file_that_lacks_something_is_told_and_changes_no_byte(
    tmp_path: Path, now: datetime, said: list[str], revision: str, lost: str, told: str
) -> None:
    path = tmp_path / "older.db"
    engine = make_engine(str(path))
    upgrade(engine, revision=revision)
    engine.dispose()
    with closing(sqlite3.connect(path)) as file:
        file.execute("PRAGMA foreign_keys=OFF")
        file.execute(f"DROP {lost}")
    before = digest(path)
    with pytest.raises(TablesMissing) as caught:
        open_database(str(path), now, said.append)
    assert str(path) in caught.value.message
    assert told in caught.value.message
    assert digest(path) == before
    assert copies_of(path) == []
    assert not any("a copy of it" in sentence for sentence in said)


def test_an_upgrade_whose_copy_cannot_be_made_does_not_begin(
    older_file: Path, later: Later, now: datetime, said: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    before = digest(older_file)

    def refuse(_engine: object, copy: Path) -> None:
        raise DiskFull(str(copy))

    monkeypatch.setattr("obslog.records.copied_upgrades.back_up", refuse)
    with pytest.raises(DiskFull):
        open_database(str(older_file), now, said.append, migrations=later(ADD_A_BADGE))
    assert digest(older_file) == before
    assert copies_of(older_file) == []


def test_a_copy_of_which_the_name_is_taken_gets_another(
    older_file: Path, later: Later, now: datetime, said: list[str]
) -> None:
    earlier = older_file.with_name(f"club.before-{LATER}-20260302T214000Z.db")
    earlier.write_bytes(b"an earlier copy")
    before = facts(older_file)
    open_database(str(older_file), now, said.append, migrations=later(ADD_A_BADGE)).close()
    assert earlier.read_bytes() == b"an earlier copy"
    assert facts(earlier.with_name(f"club.before-{LATER}-20260302T214000Z-2.db")) == before


@pytest.mark.slow
def test_an_upgrade_killed_at_any_statement_leaves_the_old_or_the_new(
    older_file: Path, later: Later, now: datetime, said: list[str], tmp_path: Path
) -> None:
    folder = later(ADD_A_BADGE)
    shutil.copy(older_file, tmp_path / "source.db")
    statements = kill_at_each_statement(OPENED, folder, tmp_path)
    assert statements > 20
    old, new = facts(older_file), facts(tmp_path / "killed0.db")
    assert (old[0], new[0]) == (SCHEMA_REVISION, LATER)
    assert old[1] == new[1] == [("Ines",)]
    left = []
    for number in range(1, statements + 1):
        killed = tmp_path / f"killed{number}.db"
        left.append(facts(killed))
        open_database(str(killed), now + timedelta(hours=1), said.append, migrations=folder).close()
        assert facts(killed) == new
    upgraded = left.index(new) if new in left else statements
    assert left == [old] * upgraded + [new] * (statements - upgraded)


@pytest.mark.slow
def test_an_upgrade_from_the_first_revision_stopped_at_any_statement_leaves_the_old_or_the_new(
    tmp_path: Path, now: datetime, said: list[str]
) -> None:
    path = tmp_path / "older" / "club.db"
    path.parent.mkdir()
    engine = make_engine(str(path))
    upgrade(engine, revision="0001")
    engine.dispose()
    with closing(sqlite3.connect(path)) as file:
        file.execute("INSERT INTO members (id, name, name_key) VALUES (?, 'Ines', 'ines')", [KEY])
        file.commit()
    old = facts(path)
    with left_at_each_statement(path.parent, tmp_path / "left") as folders:
        open_database(str(path), now, said.append).close()
    new = facts(path)
    assert (old[0], new[0]) == ("0001", SCHEMA_REVISION)
    assert len(folders) > 100
    left = [facts(folder / "club.db") for folder in folders]
    upgraded = left.index(new) if new in left else len(left)
    assert left == [old] * upgraded + [new] * (len(left) - upgraded)
    for folder in (folders[0], folders[len(folders) // 2], folders[-1]):
        open_database(str(folder / "club.db"), now + timedelta(hours=1), said.append).close()
        assert facts(folder / "club.db") == new


@pytest.mark.slow
def test_a_first_opening_stopped_at_any_statement_leaves_nothing_or_a_whole_database(
    tmp_path: Path, now: datetime, said: list[str]
) -> None:
    path = tmp_path / "new" / "club.db"
    path.parent.mkdir()
    with left_at_each_statement(path.parent, tmp_path / "left") as folders:
        open_database(str(path), now, said.append).close()
    whole = facts(path)
    assert len(folders) > 100
    there = [(folder / "club.db").exists() for folder in folders]
    assert there == sorted(there)
    assert not there[0]
    assert all(facts(folder / "club.db") == whole for folder in folders if (folder / "club.db").exists())
    for folder in (folders[0], folders[len(folders) // 2], folders[-1]):
        open_database(str(folder / "club.db"), now, said.append).close()
        assert facts(folder / "club.db") == whole


def test_a_first_opening_killed_half_way_leaves_nothing(
    tmp_path: Path, now: datetime, said: list[str]
) -> None:
    killed = tmp_path / "club.db"
    output(start(KILLED_OPENING, killed), expected=-9)
    assert not killed.exists()
    open_database(str(killed), now, said.append).close()
    assert facts(killed)[0] == SCHEMA_REVISION


def test_several_programs_may_upgrade_at_once(older_file: Path, later: Later) -> None:
    folder, before = later(ADD_A_BADGE), facts(older_file)
    said = side_by_side(3, UPGRADE_AND_SAY, older_file, folder)
    (copy,) = copies_of(older_file)
    assert facts(copy) == before
    assert facts(older_file)[0] == LATER
    assert sorted(said) == ["", "", f"Upgraded {older_file}; a copy of it as it was is {copy}\n"]


def test_rows_still_in_the_log_are_in_the_copy_too(
    sqlite_database: Database, later: Later, now: datetime, said: list[str]
) -> None:
    path = Path(sqlite_database.where)
    with sqlite_database.engine.begin() as connection:
        connection.execute(text("INSERT INTO members (id, name, name_key) VALUES ('1', 'Cleo', 'cleo')"))
    assert path.with_name("club.db-wal").stat().st_size > 0
    open_database(str(path), now, said.append, migrations=later(ADD_A_BADGE)).close()
    (copy,) = copies_of(path)
    assert facts(copy)[1] == [("Cleo",)]
