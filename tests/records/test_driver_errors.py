"""What goes wrong around a database is told in a sentence, and nothing is half written."""

import os
import shlex
import shutil
import signal
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Connection, event, make_url, text
from sqlalchemy.exc import OperationalError

from obslog.club.register import named_records
from obslog.records.database import Database
from obslog.records.driver_errors import (
    DamagedDatabase,
    DatabaseInUse,
    DatabaseRefused,
    DiskFull,
    NotLetIn,
    NotWritable,
    UnreadableValue,
    explained,
)
from obslog.records.engine import OtherFile, make_engine, writing
from obslog.records.opening import open_database
from obslog.records.tables.logbook import Act
from obslog.records.tables.logbook_tables import Member
from tests.records.children import OPENING, ROOT, output, start

LONG_NOTE = "x" * 100_000
ADD_MANY = """
from obslog.records.tables.logbook_tables import Member
try:
    database = open_database(sys.argv[1], NOW, lambda said: None)
    for number in range(50):
        with database.write(NOW, f"add {number}") as session:
            session.add(Member(name=f"member {number}", name_key=f"member {number}", note="x" * 20_000))
        print(number, flush=True)
except ObslogError as error:
    print(type(error).__name__)
"""
LIMIT_THE_FILE = """
import resource, signal
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (400_000, 400_000))
"""
FILL = "dd if=/dev/zero of=$disk/fill bs=1k 2>/dev/null; true"
READ_AND_ADD = """
from sqlalchemy import text
from obslog.records.tables.logbook_tables import Member
try:
    database = open_database(sys.argv[1], NOW, print)
    with database.read() as session:
        print(list(session.scalars(text("SELECT name FROM members"))))
    with database.write(NOW, "add") as session:
        session.add(Member(name="Bram", name_key="bram"))
except ObslogError as error:
    print(type(error).__name__)
"""
ADD_AND_FALL = """
import os
from obslog.records.tables.logbook_tables import Member
database = open_database(sys.argv[1], NOW, lambda said: None)
with database.write(NOW, "add") as session:
    session.add(Member(name="Bram", name_key="bram"))
os._exit(0)
"""
READ_THEN_WRITE = """
from obslog.records.tables.logbook_tables import Member
database = open_database(sys.argv[1], NOW, lambda said: None)
for number in range(60):
    with database.write(NOW) as session:
        count = session.query(Member).count()
        name = f"{sys.argv[2]} after {count}"
        session.add(Member(name=name, name_key=name, note=str(count)))
"""


def add_member(database: Database, now: datetime, name: str = "Ines", note: str | None = None) -> None:
    with database.write(now, f"add member {name}") as session:
        session.add(Member(name=name, name_key=name.casefold(), note=note))


def member_names(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as file:
        assert file.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        return [name for (name,) in file.execute("SELECT name FROM members ORDER BY id")]


def impatient(path: Path) -> Database:
    """A database that waits 30 ms for others."""
    return Database(make_engine(str(path), busy_timeout_ms=30), str(path))


def test_a_file_locked_longer_than_the_time_out_is_in_use(sqlite_path: Path, now: datetime) -> None:
    database = impatient(sqlite_path)
    with closing(sqlite3.connect(sqlite_path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(DatabaseInUse, match=r"club\.db"):
            add_member(database, now)
        other.execute("ROLLBACK")
    add_member(database, now)
    database.close()
    assert member_names(sqlite_path) == ["Ines"]


def test_reading_does_not_wait_for_a_writer(sqlite_path: Path) -> None:
    database = impatient(sqlite_path)
    with closing(sqlite3.connect(sqlite_path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with database.read() as session:
            assert session.query(Member).count() == 0
    database.close()


def test_opening_a_file_that_another_program_holds_alone_says_so(
    sqlite_path: Path, now: datetime, said: list[str]
) -> None:
    with closing(sqlite3.connect(sqlite_path, isolation_level=None)) as other:
        other.execute("PRAGMA locking_mode=EXCLUSIVE")
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(DatabaseInUse):
            open_database(str(sqlite_path), now, said.append, busy_timeout_ms=30)


def test_a_table_locked_longer_than_the_time_out_is_in_use_on_a_server(
    postgres_database: Database, now: datetime
) -> None:
    database = Database(make_engine(postgres_database.where, busy_timeout_ms=30), "the club's server")
    with postgres_database.engine.begin() as other:
        other.execute(text("LOCK TABLE members IN ACCESS EXCLUSIVE MODE"))
        with pytest.raises(DatabaseInUse, match="the club's server"):
            add_member(database, now)
    add_member(database, now)
    database.close()


def test_a_writer_waits_for_the_one_before_and_sees_what_it_wrote(sqlite_path: Path, now: datetime) -> None:
    first, second = (Database(make_engine(str(sqlite_path)), str(sqlite_path)) for _ in range(2))
    waiting, seen = threading.Event(), []

    def read_then_write() -> None:
        waiting.set()
        with second.write(now) as session:
            seen.append(session.query(Member).count())
            session.add(Member(name="Bram Ostler", name_key="bram ostler"))
        second.close()

    follower = threading.Thread(target=read_then_write)
    with first.write(now) as session:
        assert session.query(Member).count() == 0
        follower.start()
        assert waiting.wait(60)
        session.add(Member(name="Ines", name_key="ines"))
    follower.join(60)
    first.close()
    assert seen == [1]
    assert member_names(sqlite_path) == ["Ines", "Bram Ostler"]


def test_a_writers_transaction_begins_immediately(sqlite_database: Database) -> None:
    with writing(sqlite_database.engine).connect() as connection:
        connection.begin()
        other = sqlite3.connect(sqlite_database.where, timeout=0)
        with closing(other), pytest.raises(sqlite3.OperationalError, match="locked"):
            other.execute("BEGIN IMMEDIATE")


def test_programs_that_read_and_then_write_at_once_all_succeed(sqlite_path: Path) -> None:
    for child in [start(READ_THEN_WRITE, sqlite_path, name) for name in ("one", "two")]:
        output(child)
    with closing(sqlite3.connect(sqlite_path)) as file:
        counts = [int(count) for (count,) in file.execute("SELECT note FROM members ORDER BY rowid")]
    assert counts == list(range(120))  # each saw all that was written before it


def test_a_full_database_is_told_and_left_as_it_was(sqlite_database: Database, now: datetime) -> None:
    add_member(sqlite_database, now)

    def add_too_much() -> None:
        with sqlite_database.write(now, "add too much") as session:
            pages = session.scalar(text("PRAGMA page_count"))
            session.execute(text(f"PRAGMA max_page_count = {pages + 2}"))
            session.add(Member(name="Bram Ostler", name_key="bram ostler"))
            session.flush()
            session.add(Member(name="Cleo Marsh", name_key="cleo marsh", note=LONG_NOTE))

    with pytest.raises(DiskFull, match=r"club\.db"):
        add_too_much()
    sqlite_database.close()
    assert member_names(Path(sqlite_database.where)) == ["Ines"]


def on_a_small_disk(sqlite_path: Path, *steps: str) -> list[str]:
    """What is printed by steps of a shell, on a disk of 900 kB that holds the database as `$disk/club.db`."""
    if shutil.which("unshare") is None:
        pytest.skip("unshare is not installed: no small disk can be made")
    (sqlite_path.parent / "disk").mkdir()
    script = [
        f"disk={sqlite_path.parent / 'disk'}",
        "mount -t tmpfs -o size=900k none $disk || exit 77",
        f"cp {sqlite_path} $disk/club.db",
        *steps,
    ]
    command = ["unshare", "--user", "--map-root-user", "--mount", "sh", "-c", "\n".join(script)]
    done = subprocess.run(command, cwd=ROOT, text=True, capture_output=True, check=False)
    if done.returncode == 77 or "unshare" in done.stderr:
        pytest.skip(f"no small disk can be made here: {done.stderr.strip()}")
    assert done.returncode == 0, done.stderr
    return done.stdout.splitlines()


def in_python(script: str) -> str:
    return f"{sys.executable} -c {shlex.quote(OPENING + script)} $disk/club.db || exit 1"


def test_a_full_disk_is_told_and_loses_nothing_acknowledged(sqlite_path: Path) -> None:
    rescued = sqlite_path.parent / "rescued"
    rescued.mkdir()
    *written, last = on_a_small_disk(sqlite_path, in_python(ADD_MANY), f"cp $disk/* {rescued}")
    assert last == "DiskFull"
    assert written
    assert member_names(rescued / "club.db") == [f"member {number}" for number in written]


def test_what_lies_on_a_disk_that_was_full_before_can_be_read(
    sqlite_database: Database, sqlite_path: Path, now: datetime
) -> None:
    """SQLite makes a file beside a database even to read it, and that file has no room."""
    add_member(sqlite_database, now)
    sqlite_database.close()
    told = on_a_small_disk(sqlite_path, FILL, in_python(READ_AND_ADD))
    assert told[0].endswith("club.db: it can be read, but nothing can be recorded.")
    assert told[1:] == ["['Ines']", "DiskFull"]


def test_where_something_waits_beside_a_file_on_a_full_disk_nothing_old_is_read(sqlite_path: Path) -> None:
    told = on_a_small_disk(
        sqlite_path, in_python(ADD_AND_FALL), "test -s $disk/club.db-wal && rm $disk/club.db-shm", FILL,
        in_python(READ_AND_ADD),
    )  # fmt: skip
    assert told == ["DiskFull"]


def test_a_write_error_is_told_and_loses_nothing_acknowledged(sqlite_path: Path) -> None:
    *written, last = output(start(LIMIT_THE_FILE + ADD_MANY, sqlite_path)).split()
    assert last == "DiskRefused"
    assert written
    assert member_names(sqlite_path) == [f"member {number}" for number in written]


def test_a_writer_that_is_killed_loses_nothing_acknowledged(sqlite_path: Path) -> None:
    child = start(ADD_MANY.replace("range(50)", "range(10**9)"), sqlite_path)
    assert child.stdout is not None
    acknowledged = [child.stdout.readline().strip() for _ in range(5)]
    child.send_signal(signal.SIGKILL)
    acknowledged += child.communicate()[0].split()
    kept = member_names(sqlite_path)
    assert kept == [f"member {number}" for number in range(len(kept))]
    assert len(acknowledged) <= len(kept) <= len(acknowledged) + 1


def test_a_server_that_only_reads_is_told(postgres_database: Database, now: datetime) -> None:
    engine = make_engine(postgres_database.where)

    @event.listens_for(engine, "begin")
    def only_read(connection: Connection) -> None:
        connection.exec_driver_sql("SET TRANSACTION READ ONLY")

    with pytest.raises(NotWritable, match="the club's server"):
        add_member(Database(engine, "the club's server"), now)
    engine.dispose()


def test_a_damaged_page_is_told(sqlite_path: Path, now: datetime) -> None:
    database = Database(make_engine(str(sqlite_path)), str(sqlite_path))
    add_member(database, now)
    with database.engine.connect() as connection:
        root = "SELECT rootpage FROM sqlite_master WHERE name = 'members'"
        page = connection.exec_driver_sql(root).scalar_one()
        size = connection.exec_driver_sql("PRAGMA page_size").scalar_one()
    database.close()
    with sqlite_path.open("r+b") as file:
        file.seek((page - 1) * size)
        file.write(b"\xff" * size)
    with pytest.raises(DamagedDatabase, match=r"club\.db"), database.read() as session:
        session.query(Member).all()
    database.close()


def test_errors_of_the_program_itself_pass_unchanged(database: Database, now: datetime) -> None:
    with pytest.raises(ZeroDivisionError), database.write(now):
        os.getpid() / 0


def test_what_a_rule_refuses_is_told_with_its_name(database: Database, now: datetime) -> None:
    with pytest.raises(DatabaseRefused, match="ck_members_name_length"):
        add_member(database, now, name="")


@pytest.mark.parametrize("instead", ["nothing", "a copy"])
def test_nothing_is_written_to_a_file_that_was_taken_away_after_it_was_opened(
    sqlite_database: Database, sqlite_path: Path, tmp_path: Path, now: datetime, instead: str
) -> None:
    """A program that has a file open can write to it when it has been removed, and loses it when it ends."""
    named_records.add(sqlite_database, "member", "Ines", {}, now)
    aside = sqlite_path.rename(tmp_path / "aside.db")
    if instead == "a copy":
        shutil.copy(aside, sqlite_path)
    with pytest.raises(OtherFile) as error:
        named_records.add(sqlite_database, "member", "Bram", {}, now)
    assert str(sqlite_path) in error.value.message
    with pytest.raises(OtherFile), sqlite_database.read() as session:
        session.scalar(text("SELECT 1"))
    aside.replace(sqlite_path)
    named_records.add(sqlite_database, "member", "Tomasz", {}, now)
    with sqlite_database.read() as session:
        assert list(session.scalars(text("SELECT name FROM members ORDER BY name"))) == ["Ines", "Tomasz"]


def test_a_value_of_a_server_that_its_driver_cannot_read_is_told(
    postgres_database: Database, now: datetime
) -> None:
    add_member(postgres_database, now)
    with postgres_database.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE acts SET at_utc = 'infinity'")
    with pytest.raises(UnreadableValue, match="too large"), postgres_database.read() as session:
        session.query(Act).all()


@pytest.mark.parametrize(
    ("said", "do"),
    [
        ("fe_sendauth: no password supplied", ".pgpass"),
        ('FATAL:  password authentication failed for user "ines"', ".pgpass"),
        (
            'FATAL:  no pg_hba.conf entry for host "192.168.1.7", user "ines", database "club", SSL encryption',
            "pg_hba.conf",
        ),
        (
            "Connection refused\n\tIs the server running on that host and accepting TCP/IP connections?",
            "running",
        ),
        ("failed to resolve host 'clubserver': [Errno -2] Name or service not known", "network"),
    ],
)
def test_whoever_a_server_does_not_let_in_hears_what_lets_them_in(said: str, do: str) -> None:
    told = explained(
        OperationalError(None, None, Exception(f"connection failed: {said}")), "postgresql://..."
    )
    assert isinstance(told, NotLetIn)
    assert said.splitlines()[0] in told.message
    assert do in told.hint


def test_of_a_database_that_a_server_has_not_got_it_is_said_who_makes_it(
    new_postgres_url: Callable[[], str], now: datetime
) -> None:
    nowhere = make_url(new_postgres_url()).set(database="nowhere").render_as_string()
    with pytest.raises(NotLetIn) as told:
        open_database(nowhere, now, lambda _said: None)
    assert told.value.hint.endswith("createdb --owner=LOGIN NAME")


def test_a_file_whose_number_is_not_told_for_a_moment_is_still_the_one_that_was_opened(
    sqlite_database: Database, sqlite_path: Path, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So Windows answers while a scanner holds the file for itself; and some file systems number no file at all."""
    named_records.add(sqlite_database, "member", "Ines", {}, now)
    as_it_is = Path.stat

    def untold(self: Path, **more: Any) -> os.stat_result:
        found = as_it_is(self, **more)
        return os.stat_result((found.st_mode, 0, 0, *found[3:])) if self == sqlite_path else found

    monkeypatch.setattr(Path, "stat", untold)
    named_records.add(sqlite_database, "member", "Bram", {}, now)
    monkeypatch.undo()
    with sqlite_database.read() as session:
        assert list(session.scalars(text("SELECT name FROM members ORDER BY name"))) == ["Bram", "Ines"]
