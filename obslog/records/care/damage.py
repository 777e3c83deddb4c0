"""What is wrong with the file itself: damage, references to nothing, and rows that no search finds."""

import sqlite3

from sqlalchemy import Engine, text

from obslog.records.driver_errors import in_sentences
from obslog.vocabulary import counted

_BATCH = 2000


def complaints(engine: Engine) -> list[str]:
    """What a full check of a database finds wrong, a line each; nothing for a sound one.

    A server looks after its own files and references: there only what can be found by its text is gone through.
    Raises what in_sentences raises, where not even that can be looked at.
    """
    with in_sentences(engine.url.database or ""):
        found = _damage(engine) if engine.dialect.name == "sqlite" else []
        return found or _not_to_be_found(engine)


def _damage(engine: Engine) -> list[str]:
    with engine.connect() as connection:
        connection.exec_driver_sql("SELECT 1 FROM sqlite_master").close()
        file = connection.connection.driver_connection
        assert isinstance(file, sqlite3.Connection)
        return damage_in(file)


def damage_in(file: sqlite3.Connection) -> list[str]:
    """What SQLite finds wrong in a file, and which rows refer to nothing; nothing for a sound one.

    A query may still answer from a damaged file: only this check sees a flipped bit in an index.
    """
    found = [str(row[0]) for row in file.execute("PRAGMA integrity_check")]
    loose = file.execute("PRAGMA foreign_key_check").fetchall()
    return [line for line in found if line != "ok"] + [
        f"{row[0]} row {row[1]} refers to no {row[2]}" for row in loose
    ]


def _not_to_be_found(engine: Engine) -> list[str]:
    """Rows whose search text is not what their texts give, a line for each table that has such.

    Read as it stands in the file, for in a damaged one a key or a date may be anything.
    """
    from obslog.records.tables.search_text import SEARCHED, search_text

    lines = []
    with engine.connect() as connection:
        for table, columns in SEARCHED.items():
            query = text(f"SELECT id, search_text, {', '.join(columns)} FROM {table} ORDER BY id")
            rows = connection.execution_options(yield_per=_BATCH).execute(query)
            lost = [key for key, kept, *texts in rows if kept != search_text(texts)]
            if lost:
                lines.append(
                    f"{counted(len(lost), 'row')} of {table} cannot be found by the words in them, "
                    f"the first with key {lost[0]}"
                )
    return lines
