"""What a newer program told and had no column here until an upgrade: it lies in the log, and goes into the rows now."""

import json
from collections.abc import Iterator, Mapping

from sqlalchemy import Connection, Text, cast, inspect, or_, select
from sqlalchemy.orm import Session

from obslog.records.history.batches import unpacked_images, unpacked_keys
from obslog.records.merging.kinds import Kind, kinds
from obslog.records.merging.settling import settle
from obslog.records.tables.kept import record_obstacles
from obslog.records.tables.logbook import Change, ChangeBatch

Columns = Mapping[str, frozenset[str]]
"""The columns of each table of a database."""


def columns_there(connection: Connection) -> Columns:
    found = inspect(connection)
    return {
        table: frozenset(column["name"] for column in found.get_columns(table))
        for table in found.get_table_names()
    }


def take_up_what_was_kept(connection: Connection, before: Columns) -> None:
    """Make rows anew of which the log tells columns that were not there `before`, in the connection's transaction."""
    if record_obstacles.name not in before:  # a program that old took in nothing
        return
    with Session(connection) as session:
        told = {
            (kind.name, record_id)
            for kind in kinds().values()
            if (new := _new_columns(kind, before))
            for record_id in _told_of(session, kind, new)
        }
        if told:
            settle(session, told)
            session.flush()


def _new_columns(kind: Kind, before: Columns) -> set[str]:
    return {
        kind.mapper.get_property_by_column(column).key
        for table in kind.tables
        for column in table.columns
        if column.name not in before.get(table.name, ()) and not column.primary_key
    }


def _told_of(session: Session, kind: Kind, columns: set[str]) -> Iterator[str]:
    """The records of which the log tells one of these columns."""
    query = select(cast(Change.record_id, Text), Change.after).where(
        Change.record_kind == kind.name,
        or_(*(Change.after.contains(f'"{name}"') for name in sorted(columns))),
    )
    for record_id, after in session.execute(query):
        if after and columns & json.loads(after).keys():
            yield record_id
    many = select(ChangeBatch.record_ids, ChangeBatch.images).where(
        ChangeBatch.record_kind == kind.name, ChangeBatch.what == "added", ChangeBatch.images.is_not(None)
    )
    for packed, images in session.execute(many):
        if columns & set(unpacked_images(images or b"")[0]):
            yield from unpacked_keys(packed)
