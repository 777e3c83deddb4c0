"""Rows as they are stored, table by table in the order of their keys, and how one database's become another's.

Both databases keep the same values in other clothes: a key is text on SQLite and a number of 128 bits on PostgreSQL,
an instant is text in UTC or a time with its zone. What SQLite stores is the common form: PostgreSQL reads each of its
texts as its own type, so that rows go there as they are, and what comes from there is brought into that form.
"""

from collections.abc import Generator, Sequence
from contextlib import closing
from typing import Any
from uuid import UUID

from sqlalchemy import Column, Connection, Table

from obslog.records.tables.column_types import Key, LocalDate, UtcTime, YesNo
from obslog.records.tables.schema import metadata

BATCH = 20_000
DERIVED = frozenset({"kept_results", "mount_changes"})
"""Tables that are made again from the others, and stay where they are."""

Row = tuple[Any, ...]


def tables_to_move() -> list[Table]:
    """The tables of a club, each after those that its rows refer to."""
    return [table for table in metadata.sorted_tables if table.name not in DERIVED]


def own_references(table: Table) -> list[str]:
    """The columns by which a row refers to another of the same table, which may come after it."""
    return sorted(key.parent.name for key in table.foreign_keys if key.column.table is table)


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
    server = connection.dialect.name == "postgresql"
    wanted = (_as_sqlite_stores(column) if server else column.name for column in table.columns)
    query = f"SELECT {', '.join(wanted)} FROM {table.name}"
    parameters: tuple[str, ...] = ()
    if after is not None:
        query += f" WHERE {table.name}.id > {_mark(connection)}"
        parameters = (after,)
    yield from _fetched(connection, f"{query} ORDER BY {table.name}.id", parameters)


def without_later(table: Table, rows: list[Row]) -> list[Row]:
    """Rows as they can be put before all are there: without their references to later ones of the same table."""
    names = columns_of(table)
    key = names.index("id")
    for place in map(names.index, own_references(table)):
        rows = [
            (*row[:place], None, *row[place + 1 :]) if row[place] and row[place] > row[key] else row
            for row in rows
        ]
    return rows


def later_references(connection: Connection, table: Table, column: str) -> Generator[list[Row]]:
    """By this column, what comes after the row that refers to it, and that row's key; both as text, in batches."""
    query = (
        f"SELECT CAST({column} AS text), CAST(id AS text) FROM {table.name} WHERE {column} > id ORDER BY id"
    )
    yield from _fetched(connection, query, ())


def _mark(connection: Connection) -> str:
    return "?" if connection.dialect.name == "sqlite" else "%s::uuid"


def _fetched(connection: Connection, query: str, parameters: Sequence[str]) -> Generator[list[Row]]:
    """Rows by the driver itself, for SQLAlchemy's own would cost more than all the rest."""
    raw = connection.connection.driver_connection
    assert raw is not None
    kept_by_server = {"name": "obslog_move"} if connection.dialect.name == "postgresql" else {}
    with closing(raw.cursor(**kept_by_server)) as cursor:
        cursor.execute(query, parameters)
        while rows := cursor.fetchmany(BATCH):
            yield rows


def _as_sqlite_stores(column: Column[Any]) -> str:
    """What the server is asked for instead of a column, so that it comes in the form in which SQLite stores it."""
    match column.type:
        case Key():
            return f"{column.name}::text"
        case UtcTime():
            return f"""to_char({column.name} AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"')"""
        case LocalDate():
            return f"to_char({column.name}, 'YYYY-MM-DD')"
        case YesNo():
            return f"{column.name}::integer"
        case _:
            return column.name
