"""What a fixture writes into a database, written once and afterwards put back row by row.

To write a club's year through the acts of the club takes a hundred times as long as to insert what came of it. It is
written once on each kind of database, so that each kind has gone through the acts.
"""

from collections.abc import Callable

from sqlalchemy import Engine, Table, insert, select

from obslog.records.database import Database
from obslog.records.engine import writing
from obslog.records.tables.kept import kept_results, mount_changes
from obslog.records.tables.schema import metadata

DERIVED = (kept_results, mount_changes)  # the database makes them anew
Rows = list[tuple[Table, list[dict[str, object]]]]
_written: dict[tuple[str, str, str], Rows] = {}


def written_once(database: Database, write: Callable[[Database], None]) -> Database:
    """The empty database with what `write` puts into it; that is the same each time, and each fixture has its own."""
    key = (database.engine.name, write.__module__, write.__qualname__)
    if key in _written:
        put_rows(database.engine, _written[key])
    else:
        write(database)
        _written[key] = rows_of(database.engine)
    return database


def rows_of(engine: Engine) -> Rows:
    """All rows of all tables, those that others refer to first; in each table the older before the newer."""
    with engine.connect() as connection:
        rows = [
            (
                table,
                [
                    dict(row)
                    for row in connection.execute(select(table).order_by(*table.primary_key)).mappings()
                ],
            )
            for table in metadata.sorted_tables
            if table not in DERIVED
        ]
    return [(table, found) for table, found in rows if found]


def put_rows(engine: Engine, rows: Rows) -> None:
    with writing(engine).begin() as connection:
        for table, found in rows:
            connection.execute(insert(table), found)
