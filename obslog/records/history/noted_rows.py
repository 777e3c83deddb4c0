"""Many records at once, noted in their act: a sheet comes in quickly, and one `undo` takes it back whole."""

from collections.abc import Mapping, Sequence
from typing import Any, cast

from sqlalchemy import Table, inspect
from sqlalchemy.orm import Mapper, Session

from obslog.records.bulk_insert import insert_columns, update_rows
from obslog.records.history.images import record_kind
from obslog.records.history.recorder import note_added, notes_of
from obslog.records.history.rows import images_now
from obslog.records.tables.base import Base


def insert_noted(session: Session, kind: type[Base], records: Sequence[Mapping[str, Any]]) -> None:
    """Insert records of one kind, each given by its columns: the same for all, `id` among them.

    What is not given is unknown, but for the columns that may not be: these have to be given. A kind that is spread
    over several tables gets a row in each. In the session's transaction.
    """
    if not records:
        return
    mapper: Mapper[Any] = inspect(kind)
    given: Sequence[Mapping[str, Any]] = records
    if mapper.polymorphic_on is not None:
        told_apart = {cast(Any, mapper.polymorphic_on).name: mapper.polymorphic_identity}
        given = [{**record, **told_apart} for record in records]
    keys = [str(record["id"]) for record in given]
    for table in mapper.tables:
        _insert_into(session, mapper, cast(Table, table), given, keys)
    note_added(session, kind, keys)


def update_noted(session: Session, kind: type[Base], rows: Sequence[Mapping[str, Any]]) -> None:
    """Change records of one kind by their "id", each given with the same columns, as `update_rows` does it."""
    stored, keys = record_kind(kind), [str(row["id"]) for row in rows]
    before = images_now(session, stored, keys)
    update_rows(session, kind, rows)
    for key, image in images_now(session, stored, keys).items():
        if image != before[key]:
            notes_of(session).changed(stored.name, key, before[key], image)


def _insert_into(
    session: Session,
    mapper: Mapper[Any],
    table: Table,
    given: Sequence[Mapping[str, Any]],
    record_keys: Sequence[str],
) -> None:
    keys = {column.name: mapper.get_property_by_column(column).key for column in table.columns}
    columns = {
        name: record_keys if key == "id" else [record[key] for record in given]
        for name, key in keys.items()
        if key in given[0]
    }
    insert_columns(session, table, columns)
