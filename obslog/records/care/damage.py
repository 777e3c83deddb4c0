"""What is wrong with the file itself: damage, references to nothing, and rows that no search finds."""

import sqlite3
from collections.abc import Iterator

from sqlalchemy import Connection, Engine, text

from obslog.english import counted
from obslog.records.driver_errors import in_sentences
from obslog.records.engine import file_of

_BATCH = 2000
_MOST_TOLD = 10


def first_few(lines: list[str]) -> list[str]:
    """What is told of much damage under an error: one bad spot of a disk may be a hundred lines."""
    more = len(lines) - _MOST_TOLD
    return lines if more <= 0 else [*lines[:_MOST_TOLD], f"and {more} more"]


def complaints(engine: Engine) -> list[str]:
    """What is wrong with a database's file and its search texts, a line each; nothing for a sound one.

    A server looks after its own files and references: there only what can be found by its text is gone through.
    Raises what in_sentences raises, where not even that can be looked at.
    """
    with in_sentences(str(file_of(engine) or "")):
        lines, loose = damage_in_file(engine) if engine.dialect.name == "sqlite" else ([], [])
        return [*lines, *loose] or [line for line, _ in not_to_be_found(engine)]


def damage_in_file(engine: Engine) -> tuple[list[str], list[str]]:
    """What SQLite finds wrong in the file, and which rows refer to nothing."""
    with engine.connect() as connection:
        connection.exec_driver_sql("SELECT 1 FROM sqlite_master").close()
        file = connection.connection.driver_connection
        assert isinstance(file, sqlite3.Connection)
        return _both(file)


def damage_in(file: sqlite3.Connection) -> list[str]:
    """What SQLite finds wrong in a file, and which rows refer to nothing; nothing for a sound one.

    A query may still answer from a damaged file: only this check sees a flipped bit in an index.
    """
    broken, loose = _both(file)
    return [*broken, *loose]


def _both(file: sqlite3.Connection) -> tuple[list[str], list[str]]:
    broken = _broken(file)
    try:
        return broken, _loose(file)
    except sqlite3.DatabaseError:
        if not broken:
            raise
        return broken, []  # so damaged that it cannot be told what refers to what


def _broken(file: sqlite3.Connection) -> list[str]:
    """What SQLite finds, a line each; many findings of one table come as one text under a heading."""
    try:
        told = [str(row[0]) for row in file.execute("PRAGMA integrity_check")]
    except sqlite3.DatabaseError as error:
        if not (error.sqlite_errorname or "").startswith("SQLITE_CORRUPT"):
            raise
        told = [str(error)]  # so damaged that the check itself ends there
    lines = [line for said in told for line in said.splitlines()]
    return [line for line in lines if line != "ok" and not line.startswith("***")]


def _loose(file: sqlite3.Connection) -> list[str]:
    return [
        f"{row[0]} row {row[1]} refers to no {row[2]}" for row in file.execute("PRAGMA foreign_key_check")
    ]


def loose_on_server(engine: Engine) -> list[str]:
    """Which rows of a server refer to nothing: it keeps that from happening unless an administrator told it not to."""
    from obslog.records.tables.schema import metadata

    lines: list[str] = []
    with engine.connect() as connection:
        for table in metadata.sorted_tables:
            key = next(iter(table.primary_key)).name
            for link in table.foreign_keys:
                there, column = link.column, link.parent.name
                query = (
                    f"SELECT {key} FROM {table.name} AS here WHERE {column} IS NOT NULL AND NOT EXISTS "
                    f"(SELECT 1 FROM {there.table.name} AS there WHERE there.{there.name} = here.{column}) "
                    f"ORDER BY {key}"
                )
                rows = connection.execute(text(query)).scalars()
                lines += [f"{table.name} row {row} refers to no {there.table.name}" for row in rows]
    return lines


def not_to_be_found(engine: Engine) -> list[tuple[str, int]]:
    """Rows whose search text is not what their texts give, a line and their number for each table that has such.

    Read as it stands in the file, for in a damaged one a key or a date may be anything.
    """
    found = []
    with engine.connect() as connection:
        for table in search_tables():
            lost = [key for key, _ in wrong_search_texts(connection, table)]
            if lost:
                line = (
                    f"{counted(len(lost), 'row')} of {table} cannot be found by the words in them, "
                    f"the first with key {lost[0]}"
                )
                found.append((line, len(lost)))
    return found


def search_tables() -> list[str]:
    """The tables that are searched by their texts."""
    from obslog.records.tables.search_text import SEARCHED

    return list(SEARCHED)


def wrong_search_texts(connection: Connection, table: str) -> Iterator[tuple[object, str | None]]:
    """The keys of the rows of a table whose search text is not what their texts give, each with what it should be."""
    from obslog.records.tables.search_text import SEARCHED, search_text

    query = text(f"SELECT id, search_text, {', '.join(SEARCHED[table])} FROM {table} ORDER BY id")
    for key, kept, *texts in connection.execution_options(yield_per=_BATCH).execute(query):
        if kept != (right := search_text(texts)):
            yield key, right
