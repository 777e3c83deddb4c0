"""Connections: how each database is spoken to, and the two ways to begin a transaction.

On SQLite a writer begins with BEGIN IMMEDIATE: a transaction that first reads and then wants to write would fail at
once, without waiting, whenever another program wrote in between.
"""

import sqlite3
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError, NoSuchModuleError

from obslog.errors import ObslogError

AFTERWARDS = "afterwards"
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
        return create_engine(url, connect_args={"options": f"-c lock_timeout={busy_timeout_ms}"})
    except (ArgumentError, NoSuchModuleError, ValueError) as error:
        raise UnreadableAddress(target.split("@")[-1]) from error
    except ModuleNotFoundError as error:
        raise PostgresDriverMissing from error


def _sqlite_engine(url: URL, busy_timeout_ms: int) -> Engine:
    engine = create_engine(url)

    @event.listens_for(engine, "connect")
    def prepare(dbapi: sqlite3.Connection, _record: Any) -> None:
        dbapi.isolation_level = None  # transactions are begun below, never by the driver on its own
        for pragma in (
            f"busy_timeout={busy_timeout_ms}",
            "foreign_keys=ON",
            "journal_mode=WAL",
            "synchronous=FULL",
        ):
            dbapi.execute(f"PRAGMA {pragma}").close()

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        connection.exec_driver_sql(connection.get_execution_options().get("sqlite_begin", "BEGIN"))

    return engine


def writing(engine: Engine) -> Engine:
    """The same engine, whose transactions are begun as a writer's."""
    return engine.execution_options(sqlite_begin="BEGIN IMMEDIATE")
