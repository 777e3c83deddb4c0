"""Opening a database: looking at it without touching it, making it on first use, upgrading it after a backup copy."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sqlalchemy import Engine, inspect, text
from sqlalchemy.orm import Session

from obslog.errors import ObslogError
from obslog.records.acts import ActRecorder
from obslog.records.backup import back_up
from obslog.records.engine import BUSY_TIMEOUT_MS, is_url, make_engine, writing
from obslog.records.failures import NoSuchDatabase, in_sentences
from obslog.records.upgrading import SCHEMA_REVISION, known_revisions, upgrade

Say = Callable[[str], None]


class EmptyFile(ObslogError):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"{where} is an empty file, not an obslog database.",
            "Name another with --db, or delete the empty file first to start a new database there.",
        )


class NotADatabase(ObslogError):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"{where} is not an obslog database.", "Name the right one with --db; this one was not touched."
        )


class NewerDatabase(ObslogError):
    def __init__(self, where: str, revision: str) -> None:
        super().__init__(
            f"{where} was made by a newer obslog (its revision is {revision}).",
            "Install the newest obslog on this machine too; the database was not touched.",
        )


@dataclass(frozen=True)
class Database:
    """An open database: `read` and `write` give sessions, and turn driver errors into sentences."""

    engine: Engine
    where: str

    @contextmanager
    def read(self) -> Iterator[Session]:
        with in_sentences(self.where), Session(self.engine) as session:
            yield session

    @contextmanager
    def write(self, now: datetime, sentence: str | None = None) -> Iterator[Session]:
        """One transaction; what it changes is kept as one act under `sentence`, and can be undone."""
        with in_sentences(self.where), Session(writing(self.engine)) as session, session.begin():
            recorder = ActRecorder(session) if sentence else None
            yield session
            if recorder and sentence:
                recorder.write(sentence, now)

    def close(self) -> None:
        self.engine.dispose()


def open_database(
    target: str, now: datetime, say: Say, *, make_folder: bool = False, busy_timeout_ms: int = BUSY_TIMEOUT_MS
) -> Database:
    """Open what `target` names, a path or a URL; make it if there is nothing, upgrade it if it is older.

    `say` is told in a sentence when a database is made or upgraded. Raises EmptyFile, NotADatabase, NewerDatabase
    (the file is left untouched) or NoSuchDatabase.
    """
    engine = make_engine(target, busy_timeout_ms)
    where = engine.url.render_as_string(hide_password=True) if is_url(target) else target
    with in_sentences(where):
        if engine.dialect.name == "sqlite" and engine.url.database:
            path = Path(engine.url.database)
            revision = _file_revision(path, where)
            if revision is None:
                _prepare_folder(path, where, make_folder)
        else:
            revision = _server_revision(engine, where)
        if revision is None:
            upgrade(engine)
            say(f"New database: {where}")
        elif revision != SCHEMA_REVISION:
            _upgrade_older(engine, where, revision, now, say)
    return Database(engine, where)


def _upgrade_older(engine: Engine, where: str, revision: str, now: datetime, say: Say) -> None:
    if revision not in known_revisions():
        raise NewerDatabase(where, revision)
    if engine.dialect.name == "sqlite" and engine.url.database:
        path = Path(engine.url.database)
        copy = path.with_name(f"{path.stem}.before-{SCHEMA_REVISION}-{now:%Y%m%dT%H%M%SZ}{path.suffix}")
        back_up(engine, copy)
        say(f"Upgrading {where}; a copy of it as it was is {copy}")
    upgrade(engine)


def _prepare_folder(path: Path, where: str, make_folder: bool) -> None:
    if make_folder:
        path.parent.mkdir(parents=True, exist_ok=True)
    elif not path.parent.is_dir():
        raise NoSuchDatabase(where, f"there is no folder {path.parent}")


def _file_revision(path: Path, where: str) -> str | None:
    """The revision of the database in a file, read without touching the file; None where there is no file."""
    if path.is_dir():
        raise NoSuchDatabase(where, "it is a folder")
    if not path.exists():
        return None
    if path.stat().st_size == 0:
        raise EmptyFile(where)
    try:
        with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as connection:
            row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
            connection.execute("SELECT 1 FROM acts LIMIT 1")
    except sqlite3.OperationalError as error:
        if "no such table" in str(error):
            raise NotADatabase(where) from error
        raise NoSuchDatabase(where, str(error)) from error
    except sqlite3.DatabaseError as error:
        raise NotADatabase(where) from error
    if row is None:
        raise NotADatabase(where)
    return str(row[0])


def _server_revision(engine: Engine, where: str) -> str | None:
    """The revision of a database on a server; None where it holds no tables yet."""
    with engine.connect() as connection:
        tables = inspect(connection).get_table_names()
        if not tables:
            return None
        if "alembic_version" not in tables or "acts" not in tables:
            raise NotADatabase(where)
        return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar_one())
