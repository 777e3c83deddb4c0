"""Moving a club's records to another database: table by table, begun again where it broke off, and compared at the end.

The old database is only read, and nobody writes to it meanwhile, so that nothing is recorded in vain. The new one can
not be opened until all is there and the same: its revision says that a move is under way.
"""

from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass

from sqlalchemy import Connection, Engine, Table

from obslog.errors import ObslogError
from obslog.records.change_counting import start_counting, stop_counting
from obslog.records.driver_errors import in_sentences
from obslog.records.engine import writing
from obslog.records.found_revision import UNFINISHED_MOVE
from obslog.records.moving.digest import Digesting, TableDigest, digest_of
from obslog.records.moving.putting import empty_tables, put_references, put_rows
from obslog.records.moving.stored_rows import (
    count_rows,
    last_key,
    later_references,
    own_references,
    stored_rows,
    tables_to_move,
    without_later,
)
from obslog.records.upgrading import SCHEMA_REVISION

Tell = Callable[[str, int, int], None]
_MOVE_LOCK = 716_823_003  # any number, the same for all who move a club into one PostgreSQL database


class RowsDiffer(ObslogError):
    def __init__(self, where: str, tables: list[str]) -> None:
        super().__init__(
            f"After the move these tables of {where} are not the same as the old ones: {', '.join(tables)}.",
            "The old database was not touched; use it on. Report this to the developers.",
        )


class MoveUnderWay(ObslogError):
    def __init__(self, where: str) -> None:
        super().__init__(f"Another program is moving a club to {where}.", "Wait until it has ended.")


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedTable:
    """A table that is in the new database as it is in the old: how many rows, how many of them came now, and
    the SHA-256 of all their values, which is the same of both."""

    table: str
    rows: int
    came_now: int
    sha256: str


@contextmanager
def held_still(engine: Engine) -> Iterator[Connection]:
    """The records as they are at this moment, to be read while nobody can write to them."""
    with writing(engine).connect() as connection, connection.begin():
        if connection.dialect.name == "postgresql":
            names = ", ".join(table.name for table in tables_to_move())
            connection.exec_driver_sql(f"LOCK TABLE {names} IN SHARE MODE")
        yield connection


def move_records(source: Connection, target: Engine, where: str, tell: Tell) -> list[MovedTable]:
    """Copy all that `target` has not got yet, compare every table, and open `target` for use.

    `tell` hears of each batch: the table, how many of its rows are there, how many there will be. The target has the
    tables of this version, marked as unfinished. Raises RowsDiffer, MoveUnderWay and what in_sentences raises.
    """
    with in_sentences(where), _alone(target, where):
        with writing(target).begin() as connection:
            stop_counting(connection)
        moved = _copied_and_compared(source, target, tell)
        if any(table is None for table in moved.values()):  # what an earlier move left is of another club
            with _without_references(target) as connection:
                empty_tables(connection, tables_to_move())
            moved = _copied_and_compared(source, target, tell)
        if differing := [name for name, table in moved.items() if table is None]:
            raise RowsDiffer(where, differing)
        with writing(target).begin() as connection:
            start_counting(connection)
            mark_revision(connection, SCHEMA_REVISION)
        if target.dialect.name == "postgresql":
            with target.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
                connection.exec_driver_sql("ANALYZE")
    return [table for table in moved.values() if table is not None]


def mark_revision(connection: Connection, revision: str) -> None:
    """Write down which revision the tables are of, or that a move into them is not finished."""
    connection.exec_driver_sql(f"UPDATE alembic_version SET version_num = '{revision}'")


def mark_unfinished(engine: Engine) -> None:
    with writing(engine).begin() as connection:
        mark_revision(connection, UNFINISHED_MOVE)


def _copied_and_compared(source: Connection, target: Engine, tell: Tell) -> dict[str, MovedTable | None]:
    """Each table as it was moved, up to the first that is not the same in the end, which is None."""
    moved: dict[str, MovedTable | None] = {}
    for table in tables_to_move():
        copied = _copied(source, target, table, tell)
        with target.connect() as connection, connection.begin():
            same = copied is not None and digest_of(connection, table) == copied[1]
        moved[table.name] = None
        if copied is None or not same:
            break
        came, digest = copied
        moved[table.name] = MovedTable(
            table=table.name, rows=digest.rows, came_now=came, sha256=digest.sha256
        )
    return moved


def _copied(source: Connection, target: Engine, table: Table, tell: Tell) -> tuple[int, TableDigest] | None:
    """Copy the rows that are not there yet, a transaction a batch: how many, and the digest of all in the old one.

    None where what is there is no beginning of the old table.
    """
    with target.connect() as connection, connection.begin():
        there, last = count_rows(connection, table), last_key(connection, table)
    if last is not None and count_rows(source, table, last) != there:
        return None
    every = count_rows(source, table)
    digesting, came = Digesting(), 0
    with closing(stored_rows(source, table, last)) as batches:
        for rows in batches:
            digesting.take(rows)
            _put(target, table, without_later(table, rows))
            came += len(rows)
            tell(table.name, there + came, every)
    for column in own_references(table):  # always all of them: an earlier move may have ended before this
        _refer_to_later(source, target, table, column)
    return came, digesting.digest() if last is None else digest_of(source, table)


def _put(target: Engine, table: Table, rows: list[tuple[object, ...]]) -> None:
    with _without_references(target) as connection:
        put_rows(connection, table, rows)


def _refer_to_later(source: Connection, target: Engine, table: Table, column: str) -> None:
    with closing(later_references(source, table, column)) as batches:
        for pairs in batches:
            with writing(target).begin() as connection:
                put_references(connection, table, column, pairs)


@contextmanager
def _without_references(target: Engine) -> Iterator[Connection]:
    """A transaction in which SQLite asks after no references, for a batch may refer to a later one; PostgreSQL does."""
    with writing(target).begin() as connection:
        if connection.dialect.name == "sqlite":
            connection.exec_driver_sql("PRAGMA defer_foreign_keys = ON")
        yield connection


@contextmanager
def _alone(target: Engine, where: str) -> Iterator[None]:
    """Keep a second move out of the same database, on a server; in a file the first row it writes is refused."""
    if target.dialect.name == "sqlite":
        yield
        return
    with target.connect() as connection:
        if not connection.exec_driver_sql(f"SELECT pg_try_advisory_lock({_MOVE_LOCK})").scalar_one():
            raise MoveUnderWay(where)
        try:
            yield
        finally:
            connection.invalidate()  # closes it, and so lets go of the lock, also where the line was cut meanwhile
