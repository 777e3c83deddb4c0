"""Opening a database to look at it: nothing is made, upgraded or kept, and the connection itself refuses to write."""

import sqlite3
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, inspect, text
from sqlalchemy.exc import DBAPIError

from obslog.errors import ObslogError, quoted
from obslog.records.database import Database
from obslog.records.driver_errors import NoSuchDatabase, NotReadable, in_sentences
from obslog.records.engine import BUSY_TIMEOUT_MS, is_url, make_engine, make_reading_engine
from obslog.records.files.addresses import file_address
from obslog.records.found_revision import NotADatabase, refuse_what_is_no_file, refuse_what_is_not_older
from obslog.records.opening import lies_whole
from obslog.records.upgrading import SCHEMA_REVISION


class OlderDatabase(ObslogError):
    def __init__(self, where: str, revision: str) -> None:
        super().__init__(
            f"{where} was last written by an older obslog (its revision is {revision}, this one's {SCHEMA_REVISION}).",
            f"Any command upgrades it, after a backup copy: obslog --db {quoted(where)} night list",
        )


def open_to_look(target: str, *, older_too: bool = False) -> Database:
    """Open what `target` names, a path or a URL, for reading alone; with `older_too` also what cannot be read yet.

    Raises NoSuchDatabase, EmptyFile, NotADatabase, OlderDatabase, NewerDatabase, UnfinishedMove, and what in_sentences
    raises.
    """
    named = make_engine(target)
    where = named.url.render_as_string(hide_password=True) if is_url(target) else target
    if named.dialect.name == "sqlite":
        engine = _of_file(Path(named.url.database or ""), where)
    else:
        engine = named
        _refuse_to_write(engine)
    try:
        with in_sentences(where), engine.connect() as connection:
            _check_revision(connection, where, older_too)
    except BaseException:
        engine.dispose()
        raise
    return Database(engine, where, only_read=True)


def _of_file(path: Path, where: str) -> Engine:
    try:
        there = path.exists()
    except PermissionError as error:  # a folder that one may not look into
        raise NotReadable(where) from error
    if not there:
        raise NoSuchDatabase(where, "there is no such file")
    refuse_what_is_no_file(path, where)
    engine = _looking_engine(path)
    try:
        with engine.connect() as connection:
            connection.execute(text("SELECT 1 FROM sqlite_master LIMIT 1"))
    except DBAPIError as error:
        engine.dispose()
        name = getattr(error.orig, "sqlite_errorname", "")
        if name.startswith(("SQLITE_CANTOPEN", "SQLITE_READONLY")) and lies_whole(path):
            return make_reading_engine(path)  # in a folder that may not be written: as the file lies there
        if name == "SQLITE_NOTADB":
            raise NotADatabase(where) from error
        with in_sentences(where):
            raise
    return engine


def _looking_engine(path: Path) -> Engine:
    """An engine on a file that is there. SQLite may keep its own files beside it meanwhile, and takes them away."""
    url = URL.create("sqlite", database=file_address(path.absolute()), query={"mode": "rw", "uri": "true"})
    engine = create_engine(url)

    @event.listens_for(engine, "connect")
    def prepare(dbapi: sqlite3.Connection, _record: Any) -> None:
        dbapi.isolation_level = None
        for pragma in (f"busy_timeout={BUSY_TIMEOUT_MS}", "query_only=ON"):
            dbapi.execute(f"PRAGMA {pragma}").close()

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        connection.exec_driver_sql("BEGIN")

    return engine


def _refuse_to_write(engine: Engine) -> None:
    @event.listens_for(engine, "connect")
    def prepare(driver: Any, _record: Any) -> None:
        driver.read_only = True


def _check_revision(connection: Connection, where: str, older_too: bool) -> None:
    tables = inspect(connection).get_table_names()
    if "alembic_version" not in tables or "acts" not in tables:
        raise NotADatabase(where)
    revision = str(connection.scalar(text("SELECT version_num FROM alembic_version")))
    refuse_what_is_not_older(where, revision)
    if revision != SCHEMA_REVISION and not older_too:
        raise OlderDatabase(where, revision)
