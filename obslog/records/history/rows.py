"""Rows in and out as images hold them, many at a time: what the history took note of is put back, changed or removed.

What the driver gives and takes is what SQLite stores, so that nothing is converted there; on PostgreSQL keys, instants,
dates and truth values are.
"""

import json
from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime
from typing import Any, cast
from uuid import UUID

from sqlalchemy import CursorResult, Result, Table, Text, column, delete, select, table, update
from sqlalchemy import cast as as_type
from sqlalchemy.orm import Session
from sqlalchemy.orm.exc import StaleDataError

from obslog.records.bulk_insert import insert_rows
from obslog.records.history.images import Image, RecordKind, read_image
from obslog.records.tables.column_types import YesNo, key_of, stored_utc
from obslog.records.tables.kept import parked_records
from obslog.records.tables.search_text import SEARCHED, search_text

MANY = 1000  # keys in one statement

Row = tuple[Any, ...]


def rows_as_stored(session: Session, kind: RecordKind, keys: Sequence[str]) -> tuple[list[str], list[Row]]:
    """The attributes' names, and the rows of those keys that are on record, in the order of their keys."""
    first, *others = [table(name, *(column(c) for c in columns)) for name, columns in kind.columns.items()]
    joined: Any = first
    for other in others:
        joined = joined.join(other, other.c.id == first.c.id)
    names: dict[str, Any] = {}
    for part, columns in zip([first, *others], kind.columns.values(), strict=True):
        for name, attribute in columns.items():
            names.setdefault(attribute, part.c[name])
    query = select(*names.values()).select_from(joined)
    rows = [
        tuple(map(stored_value, row)) if session.get_bind().dialect.name != "sqlite" else tuple(row)
        for some in by_many(session, keys)
        for row in session.execute(query.where(first.c.id.in_(some)))
    ]
    place = list(names).index("id")
    return list(names), sorted(rows, key=lambda row: str(row[place]))


def images_now(session: Session, kind: RecordKind, keys: Sequence[str]) -> dict[str, dict[str, Any]]:
    """The records of those keys that are on record, as images, by their keys."""
    names, rows = rows_as_stored(session, kind, keys)
    images = [dict(zip(names, row, strict=True)) for row in rows]
    return {image["id"]: image for image in images}


def remove_rows(session: Session, kind: RecordKind, keys: Sequence[str]) -> None:
    """Take records that are there out of every table over which their kind is spread.

    Raises StaleDataError where a server passes some by, which it does without a word if this login may not remove them.
    """
    for part in reversed(kind.tables):
        plain = table(part.name, column("id"))
        for some in by_many(session, keys):
            _all_of(len(some), session.execute(delete(plain).where(plain.c.id.in_(some))), part.name)


def put_rows(session: Session, kind: RecordKind, names: Sequence[str], rows: Sequence[Row]) -> None:
    """Put records back as their images are. A column that came with a later revision is left at its default."""
    columns = dict(zip(names, zip(*rows, strict=True), strict=True))
    for key, type_ in kind.types.items():
        if isinstance(type_, YesNo) and key in columns:
            columns[key] = tuple(None if value is None else bool(value) for value in columns[key])
    for part in kind.tables:
        given = [(c, key) for c, key in kind.columns[part.name].items() if key in columns]
        values = list(zip(*(columns[key] for _, key in given), strict=True))
        insert_rows(session, part, [name for name, _ in given], values)


def change_row(session: Session, kind: RecordKind, image: Image, fields: Sequence[str]) -> None:
    """Write some fields of a record that is there as they are in its image; what it is searched by follows.

    Raises StaleDataError as remove_rows does.
    """
    values = read_image(kind, image)
    for part in kind.tables:
        names = kind.columns[part.name]
        told = {part.c[name]: values[key] for name, key in names.items() if key in fields}
        searched = SEARCHED.get(part.name, ())
        if set(searched) & set(fields):
            told[part.c.search_text] = search_text([values[key] for key in searched])
        if told:
            _all_of(1, session.execute(update(part).where(part.c.id == values["id"]).values(told)), part.name)


def _all_of(wanted: int, done: Result[Any], where: str) -> None:
    rows = cast(CursorResult[Any], done).rowcount
    if rows != wanted:
        raise StaleDataError(f"{rows} of {wanted} rows of {where} could be written")


def referring(session: Session, kind: RecordKind, keys: Sequence[str]) -> tuple[str, str] | None:
    """The table and key of a record that refers to one of these; None where none does."""
    from obslog.records.tables.schema import metadata

    own = {part.name for part in kind.tables}
    for other in metadata.sorted_tables:
        for foreign in other.foreign_keys:
            if (other.name in own and foreign.parent.primary_key) or foreign.column.table.name not in own:
                continue
            plain = table(other.name, column("id"), column(foreign.parent.name))
            for some in by_many(session, keys):
                query = select(plain.c.id).where(plain.c[foreign.parent.name].in_(some)).limit(1)
                found = session.execute(query).scalar()
                if found is not None:
                    return other.name, str(found)
    return None


def going_with(table_name: str) -> list[tuple[Table, str]]:
    """The tables whose rows the database takes away with those of a table, and the columns by which they refer."""
    from obslog.records.tables.schema import metadata

    return [
        (other, foreign.parent.name)
        for other in metadata.sorted_tables
        for foreign in other.foreign_keys
        if foreign.ondelete == "CASCADE"
        and foreign.column.table.name == table_name
        and not foreign.parent.primary_key
    ]


def parked_among(session: Session, keys: Sequence[str]) -> dict[str, dict[str, Any]]:
    """The images of those of the records that are parked."""
    key = as_type(parked_records.c.record_id, Text)
    return {
        record_id: json.loads(image)
        for some in by_many(session, keys)
        for record_id, image in session.execute(
            select(key, parked_records.c.image).where(parked_records.c.record_id.in_(some))
        )
    }


def by_many(session: Session, keys: Sequence[str]) -> Iterator[list[Any]]:
    """The keys as the driver takes them, some at a time."""
    native: list[Any] = list(keys)
    if session.get_bind().dialect.name != "sqlite":
        native = [key_of(key) for key in keys]
    for start in range(0, len(native), MANY):
        yield native[start : start + MANY]


def stored_value(value: Any) -> Any:
    """A value of PostgreSQL's driver as SQLite would have stored it."""
    if isinstance(value, bool):
        return int(value)
    if isinstance(value, UUID):
        return str(value)
    if isinstance(value, datetime):
        return stored_utc(value.astimezone(UTC))
    if isinstance(value, date):
        return value.isoformat()
    return value
