"""Connections: how each database is spoken to, and the two ways to begin a transaction.

On SQLite a writer begins with BEGIN IMMEDIATE: a transaction that first reads and then wants to write would fail at
once, without waiting, whenever another program wrote in between. A transaction begins only in the file that still lies
where it was opened: a prompt is open for hours, and would write on into a file that is gone.
"""

import sqlite3
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError, NoSuchModuleError

from obslog.errors import ObslogError
from obslog.records.files.addresses import file_address

AFTERWARDS = "afterwards"
_FILE = "file"
# Some file systems number no file, and Windows tells no number while another program holds a file for itself alone.
_UNTOLD = (0, 0)
BUSY_TIMEOUT_MS = 5000


class UnreadableAddress(ObslogError):
    exit_code = 2

    def __init__(self, where: str) -> None:
        super().__init__(
            f"{where!r} is not a database address.",
            "Give a file's path, or postgresql+psycopg://user@host/name.",
        )


class PostgresDriverMissing(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "The PostgreSQL driver is not installed.", "Install it: pip install 'obslog-club[postgres]'"
        )


class OtherFile(ObslogError):
    """The file that was opened does not lie at its place any more: what is written to it now is lost with it."""

    def __init__(self, where: str) -> None:
        super().__init__(
            f"{where} was removed, or another file was put in its place, after it was opened.",
            "Nothing was kept. Put the file back, or leave this and begin again.",
        )


def is_url(target: str) -> bool:
    return "://" in target


def make_engine(target: str, busy_timeout_ms: int = BUSY_TIMEOUT_MS) -> Engine:
    """An engine for a path (SQLite) or a URL; nothing is opened yet."""
    if not is_url(target):
        return _sqlite_engine(URL.create("sqlite", database=str(Path(target).absolute())), busy_timeout_ms)
    try:
        url = make_url(target)
        if url.get_backend_name() == "sqlite":
            return _sqlite_engine(url, busy_timeout_ms)
        if url.get_backend_name() != "postgresql":
            raise UnreadableAddress(url.render_as_string(hide_password=True))
        return create_engine(
            url,
            connect_args={"options": f"-c lock_timeout={busy_timeout_ms}"},
            pool_pre_ping=True,  # a prompt is open for hours, and the line behind it may have been cut meanwhile
        )
    except (ArgumentError, NoSuchModuleError, ValueError) as error:
        raise UnreadableAddress(target.split("@")[-1]) from error
    except ModuleNotFoundError as error:
        raise PostgresDriverMissing from error


def make_reading_engine(path: Path) -> Engine:
    """An engine for a file that is read as it lies there, without a file beside it: nobody may be writing to it.

    SQLite makes a small file beside a database even to read it, which a full disk has no room for.
    """
    url = URL.create(
        "sqlite",
        database=file_address(path.absolute()),
        query={"mode": "ro", "immutable": "1", "uri": "true"},
    )
    engine = create_engine(url)

    @event.listens_for(engine, "connect")
    def prepare(dbapi: sqlite3.Connection, _record: Any) -> None:
        dbapi.isolation_level = None

    return engine


def _sqlite_engine(url: URL, busy_timeout_ms: int) -> Engine:
    engine = create_engine(url)

    @event.listens_for(engine, "connect")
    def prepare(dbapi: sqlite3.Connection, record: Any) -> None:
        dbapi.isolation_level = None  # transactions are begun below, never by the driver on its own
        for pragma in (
            f"busy_timeout={busy_timeout_ms}",
            "foreign_keys=ON",
            "journal_mode=WAL",
            "synchronous=FULL",
            "fullfsync=ON",  # on macOS: as in atomic_file; elsewhere it does nothing
            "temp_store=MEMORY",  # a file for what each row's triggers might take back costs more than the row
        ):
            dbapi.execute(f"PRAGMA {pragma}").close()
        record.info[_FILE] = _file_at(url.database)  # journal_mode has opened it by now

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        opened, now = connection.info.get(_FILE), _file_at(url.database)
        if opened != now and _UNTOLD not in (opened, now):
            raise OtherFile(str(url.database))
        connection.exec_driver_sql(connection.get_execution_options().get("sqlite_begin", "BEGIN"))

    return engine


def file_of(engine: Engine) -> Path | None:
    """The file that a database lies in, however it is opened; None for one on a server or in memory."""
    named = engine.url.database
    if engine.dialect.name != "sqlite" or not named:
        return None
    if not engine.url.query.get("uri"):
        return Path(named)
    from urllib.parse import urlsplit
    from urllib.request import url2pathname

    return Path(url2pathname(urlsplit(named).path))


def _file_at(path: str | None) -> tuple[int, int] | None:
    """Which file lies at the path; None where none does, or none is meant."""
    if not path:
        return None
    try:
        found = Path(path).stat()
    except (OSError, ValueError):
        return None
    return (found.st_dev, found.st_ino) if found.st_ino else _UNTOLD


def writing(engine: Engine) -> Engine:
    """The same engine, whose transactions are begun as a writer's."""
    return engine.execution_options(sqlite_begin="BEGIN IMMEDIATE")
