"""The unused pages of a database's file, in which what was deleted still stands."""

from contextlib import closing

from sqlalchemy import Engine


def wipe_deleted(engine: Engine) -> None:
    """Write a SQLite file anew, so that nothing deleted is left in its unused pages or in the log beside it."""
    if engine.dialect.name != "sqlite":
        return
    with closing(engine.raw_connection()) as connection:
        cursor = connection.cursor()
        for statement in ("VACUUM", "PRAGMA wal_checkpoint(TRUNCATE)"):
            cursor.execute(statement)
            cursor.fetchall()
        cursor.close()
