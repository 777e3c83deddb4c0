"""Rows as they are stored, table by table in the order of their keys, and how one database's become another's.

Both databases keep the same values in other clothes: a key is text on SQLite and a number of 128 bits on PostgreSQL,
an instant is text in UTC or a time with its zone. What SQLite stores is the common form: PostgreSQL reads each of its
texts as its own type, so that rows go there as they are, and what comes from there is brought into that form.
"""

from collections.abc import Callable, Generator, Sequence
from contextlib import closing
from typing import Any
from uuid import UUID

from sqlalchemy import Connection, Table
from sqlalchemy.dialects.sqlite import dialect as sqlite_dialect

from obslog.records.tables.schema import metadata

_SQLITE = sqlite_dialect()
BATCH = 20_000
DERIVED = frozenset({"kept_results", "mount_changes", "parked_records"})
"""Tables that are made again from the others, and stay where they are."""

Row = tuple[Any, ...]


def tables_to_move() -> list[Table]:
    """The tables of a club, each after those that its rows refer to."""
    return [table for table in metadata.sorted_tables if table.name not in DERIVED]


def refers_to_itself(table: Table) -> bool:
    """Whether a row may refer to another of the same table, which then has to come with it."""
    return any(key.column.table is table for key in table.foreign_keys)


def columns_of(table: Table) -> list[str]:
    return [column.name for column in table.columns]


def count_rows(connection: Connection, table: Table, upto: UUID | str | None = None) -> int:
    """How many rows a table has; with `upto`, how many of them have a key up to that one."""
    if upto is None:
        return int(connection.exec_driver_sql(f"SELECT count(*) FROM {table.name}").scalar_one())
    mark = _mark(connection)
    query = f"SELECT count(*) FROM {table.name} WHERE id <= {mark}"
    return int(connection.exec_driver_sql(query, (str(upto),)).scalar_one())


def last_key(connection: Connection, table: Table) -> str | None:
    """The greatest key of a table, as text; None where it is empty."""
    last = connection.exec_driver_sql(f"SELECT id FROM {table.name} ORDER BY id DESC LIMIT 1").scalar()
    return None if last is None else str(last)


def stored_rows(connection: Connection, table: Table, after: str | None = None) -> Generator[list[Row]]:
    """The rows of a table in the order of their keys, from behind `after` on, as SQLite stores them, in batches."""
    query = f"SELECT {', '.join(columns_of(table))} FROM {table.name}"
    parameters: tuple[str, ...] = ()
    if after is not None:
        query += f" WHERE id > {_mark(connection)}"
        parameters = (after,)
    converters = [_stored_by_sqlite(table, name) for name in columns_of(table)]
    with closing(_fetched(connection, f"{query} ORDER BY id", parameters)) as batches:
        if connection.dialect.name == "sqlite":
            yield from batches
            return
        for rows in batches:
            columns = zip(converters, zip(*rows, strict=True), strict=True)
            yield list(
                zip(
                    *(values if convert is None else map(convert, values) for convert, values in columns),
                    strict=True,
                )
            )


def _mark(connection: Connection) -> str:
    return "?" if connection.dialect.name == "sqlite" else "%s::uuid"


def _fetched(connection: Connection, query: str, parameters: Sequence[str]) -> Generator[list[Row]]:
    """Rows by the driver itself, for SQLAlchemy's own would cost more than all the rest."""
    raw = connection.connection.driver_connection
    assert raw is not None
    named = (
        {} if connection.dialect.name == "sqlite" else {"name": "obslog_move"}
    )  # a cursor that the server keeps
    with closing(raw.cursor(**named)) as cursor:
        cursor.execute(query, parameters)
        while rows := cursor.fetchmany(BATCH):
            yield rows


def _stored_by_sqlite(table: Table, name: str) -> Callable[[Any], Any] | None:
    """What makes a value of a column from PostgreSQL into what SQLite stores; None where it is that already."""
    return table.c[name].type.dialect_impl(_SQLITE).bind_processor(_SQLITE)
