"""Putting rows into a database as they come from another, by the quickest way that each has."""

from collections.abc import Iterable, Sequence
from typing import Any

from sqlalchemy import Connection, Table

from obslog.records.moving.stored_rows import Row, columns_of


def put_rows(connection: Connection, table: Table, rows: Sequence[Row]) -> None:
    """Insert rows in the form in which SQLite stores them, in the connection's transaction."""
    columns = ", ".join(columns_of(table))
    raw: Any = connection.connection.driver_connection
    assert raw is not None
    if connection.dialect.name == "sqlite":
        marks = ", ".join("?" * len(columns_of(table)))
        raw.executemany(f"INSERT INTO {table.name} ({columns}) VALUES ({marks})", rows).close()
        return
    with raw.cursor() as cursor, cursor.copy(f"COPY {table.name} ({columns}) FROM STDIN") as copy:
        for row in rows:
            copy.write_row(row)


def put_references(connection: Connection, table: Table, column: str, pairs: Sequence[Row]) -> None:
    """Let rows refer to others of their table: what each refers to and its own key, as texts."""
    mark = "?" if connection.dialect.name == "sqlite" else "%s::uuid"
    connection.exec_driver_sql(f"UPDATE {table.name} SET {column} = {mark} WHERE id = {mark}", list(pairs))


def empty_tables(connection: Connection, tables: Iterable[Table]) -> None:
    """Delete all rows of tables, given in the order in which they refer to one another."""
    for table in reversed(list(tables)):
        connection.exec_driver_sql(f"DELETE FROM {table.name}")
