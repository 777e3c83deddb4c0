"""Rows of records in the form in which the log holds them, read and written by the hundred thousand."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import islice
from typing import Any, TypeVar, cast

from sqlalchemy import (
    Column,
    CompoundSelect,
    Select,
    Table,
    Text,
    bindparam,
    delete,
    literal,
    select,
    union_all,
    update,
)
from sqlalchemy import cast as as_type
from sqlalchemy import column as plain_column
from sqlalchemy import table as plain_table
from sqlalchemy.dialects.sqlite import dialect as sqlite_dialect
from sqlalchemy.orm import Session
from sqlalchemy.types import TypeDecorator

from obslog.records import bulk_insert
from obslog.records.history.images import SEARCHED_BY
from obslog.records.history.rows import stored_value
from obslog.records.merging.checks import defaults
from obslog.records.merging.kinds import Kind, Once
from obslog.records.merging.kinds import kinds as all_kinds
from obslog.records.tables.column_types import Key, YesNo, key_of
from obslog.records.tables.search_text import SEARCHED, search_text

T = TypeVar("T")
Row = dict[str, Any]
MANY = 500
NOTHING: Mapping[str, Any] = {}
_STORED = sqlite_dialect()
_SOME_KEYS = bindparam("ids", expanding=True, type_=Key())


def by_many(values: Iterable[T], many: int = MANY) -> Iterator[list[T]]:
    """The values, some hundred at a time: as many as a query takes."""
    waiting = iter(values)
    while some := list(islice(waiting, many)):
        yield some


def rows_of(session: Session, kind: Kind, ids: Collection[str]) -> dict[str, Row]:
    """The rows with these keys, as images without what is searched by."""
    untyped = _untyped(kind)
    found: dict[str, Row] = {}
    for some in by_many(sorted(ids)):
        found |= _images(session, untyped, untyped.with_ids, {"ids": _keys(session, some)})
    return found


def all_rows(session: Session, kind: Kind) -> dict[str, Row]:
    return _images(session, _untyped(kind), _untyped(kind).query)


def columns_between(
    session: Session, kind: Kind, first: str, last: str
) -> tuple[list[str], list[tuple[Any, ...]]]:
    """The columns, and the stored values of all rows whose keys lie between two."""
    untyped = _untyped(kind)
    low, high = _keys(session, [first, last])
    return untyped.names, _rows(session, untyped.query.where(untyped.id >= low, untyped.id <= high), NOTHING)


def ids_there(session: Session, kind: Kind, ids: Collection[str]) -> set[str]:
    """Which of the keys have a row."""
    if not ids:
        return set()
    if len(ids) > 2 * MANY:
        column = _column(kind, "id")
        low, high = _plain(column, [min(ids), max(ids)])
        query = select(as_type(column, Text)).select_from(_joined(kind))
        return set(ids).intersection(session.scalars(query.where(column >= low, column <= high)))
    return {
        key
        for some in by_many(sorted(ids))
        for key in session.scalars(_there(kind), {"ids": [key_of(one) for one in some]})
    }


def referring_ids(session: Session, kind: Kind, ids: Collection[str]) -> set[tuple[str, str]]:
    """Kind and key of every row that refers to one of these records of a kind."""
    if not kind.referred_by:
        return set()
    return {
        (other, str(key))
        for some in by_many(sorted(ids))
        for other, key in session.execute(_referring(kind), {"ids": [key_of(one) for one in some]})
    }


def holders(session: Session, kind: Kind, once: Once, key: Sequence[Any]) -> list[str]:
    """The keys of the rows that hold what may stand once; there is at most one."""
    held = {
        name: _plain(_column(kind, name), [value])[0] for name, value in zip(once.columns, key, strict=True)
    }
    return [str(found) for found in session.scalars(_holding(kind, once), held)]


def keys_held(session: Session, kind: Kind, once: Once, first: Collection[Any]) -> set[tuple[Any, ...]]:
    """What may stand once of all rows whose first column of it is among the values."""
    if not once.columns:
        return {()} if holders(session, kind, once, ()) else set()
    columns = [_column(kind, name) for name in once.columns]
    query = select(*columns).select_from(_joined(kind))
    if once.while_open:
        query = query.where(_column(kind, once.while_open).is_(None))
    found: set[tuple[Any, ...]] = set()
    for some in by_many(sorted(first)):
        rows = session.execute(query.where(columns[0].in_(_plain(columns[0], some)))).all()
        stored = [[_stored(column, row[place]) for row in rows] for place, column in enumerate(columns)]
        found |= set(zip(*stored, strict=True))
    return found


def insert_images(session: Session, kind: Kind, rows: Sequence[Row]) -> None:
    """Insert rows given by their images, into each of the tables over which the kind is spread."""
    filled = defaults(kind)
    names = [name for name in kind.columns if name != "search_text"]
    if rows:
        columns = {name: [row.get(name, filled[name]) for row in rows] for name in names}
        insert_columns(session, kind, columns)


def insert_columns(session: Session, kind: Kind, columns: Mapping[str, Sequence[Any]]) -> None:
    """Insert rows given by the stored values of all their columns."""
    for table in kind.tables:
        keys = {column.name: kind.mapper.get_property_by_column(column).key for column in table.columns}
        values = {
            name: _for_binding(table.c[name], columns[key])
            for name, key in keys.items()
            if key != "search_text"
        }
        bulk_insert.insert_columns(session, table, values)


def update_images(session: Session, kind: Kind, rows: Sequence[Row]) -> None:
    """Give rows that are there all the values of their images."""
    if not rows:
        return
    for table in kind.tables:
        names = [column.name for column in table.columns if column.name not in ("id", "kind")]
        if not names:
            continue
        statement = (
            update(table)
            .where(table.c.id == bindparam("its_id"))
            .values({name: bindparam(f"new_{name}") for name in names})
        )
        keys = {name: kind.mapper.get_property_by_column(table.c[name]).key for name in names}
        searched = SEARCHED.get(table.name)
        session.connection().execute(
            statement,
            [
                {"its_id": _plain(table.c.id, [row["id"]])[0]}
                | {
                    f"new_{name}": search_text([row.get(one) for one in searched])
                    if searched and name == "search_text"
                    else _plain(table.c[name], [row.get(keys[name])])[0]
                    for name in names
                }
                for row in rows
            ],
        )


def delete_rows(session: Session, kind: Kind, ids: Collection[str]) -> None:
    """Take the rows away, from the table of the kind first and from the common one then."""
    for table in reversed(kind.tables):
        for some in by_many(sorted(ids)):
            session.execute(delete(table).where(table.c.id.in_(_plain(table.c.id, some))))


@dataclass(frozen=True, slots=True)
class _Untyped:
    """A query for all rows of a kind that gives what the driver does: on SQLite that is what images hold."""

    names: list[str]
    query: Select[Any]
    with_ids: Select[Any]
    id: Any


def _names(table: Table) -> list[str]:
    return [column.name for column in table.columns]


@cache
def _untyped(kind: Kind) -> _Untyped:
    parts = [plain_table(one.name, *(plain_column(name) for name in _names(one))) for one in kind.tables]
    joined: Any = parts[0]
    for other in parts[1:]:
        joined = joined.join(other, other.c.id == parts[0].c.id)
    found: dict[str, Any] = {}
    for one, part in zip(kind.tables, parts, strict=True):
        for column in one.columns:
            key = kind.mapper.get_property_by_column(column).key
            if key != SEARCHED_BY:
                found.setdefault(key, part.c[column.name])
    query, its_id = select(*found.values()).select_from(joined), parts[0].c.id
    return _Untyped(list(found), query, query.where(its_id.in_(bindparam("ids", expanding=True))), its_id)


@cache
def _there(kind: Kind) -> Select[Any]:
    column = _column(kind, "id")
    return select(as_type(column, Text)).select_from(_joined(kind)).where(column.in_(_SOME_KEYS))


@cache
def _referring(kind: Kind) -> CompoundSelect[Any]:
    """All that refers to records of the kind, in one statement: a member is referred to from twenty columns."""
    kinds = all_kinds()
    return union_all(
        *(
            select(literal(other), _column(kinds[other], "id"))
            .select_from(_joined(kinds[other]))
            .where(_column(kinds[other], column).in_(_SOME_KEYS))
            for other, column in kind.referred_by
        )
    )


@cache
def _holding(kind: Kind, once: Once) -> Select[Any]:
    query = _ids(kind)
    for name in once.columns:
        query = query.where(_column(kind, name) == bindparam(name))
    if once.while_open:
        query = query.where(_column(kind, once.while_open).is_(None))
    return query


def _rows(session: Session, query: Select[Any], held: Mapping[str, Any]) -> list[tuple[Any, ...]]:
    if session.get_bind().dialect.name == "sqlite":
        return [tuple(row) for row in session.execute(query, held)]
    return [tuple(map(stored_value, row)) for row in session.execute(query, held)]


def _images(
    session: Session, untyped: _Untyped, query: Select[Any], held: Mapping[str, Any] = NOTHING
) -> dict[str, Row]:
    place = untyped.names.index("id")
    return {row[place]: dict(zip(untyped.names, row, strict=True)) for row in _rows(session, query, held)}


def _keys(session: Session, ids: Sequence[str]) -> list[Any]:
    """Keys as the driver takes them."""
    return list(ids) if session.get_bind().dialect.name == "sqlite" else [key_of(one) for one in ids]


def _ids(kind: Kind) -> Select[Any]:
    return select(_column(kind, "id")).select_from(_joined(kind))


def _joined(kind: Kind) -> Any:
    first, *others = kind.tables
    joined: Any = first
    for table in others:
        joined = joined.join(table, table.c.id == first.c.id)
    return joined


def _column(kind: Kind, name: str) -> Column[Any]:
    return cast(Column[Any], kind.mapper.attrs[name].columns[0])


def _stored(column: Column[Any], value: Any) -> Any:
    kind = column.type
    return kind.process_bind_param(value, _STORED) if isinstance(kind, TypeDecorator) else value


def _plain(column: Column[Any], values: Sequence[Any]) -> list[Any]:
    """The values of a column as the program uses them, from their stored form."""
    kind = column.type
    if not isinstance(kind, TypeDecorator):
        return list(values)
    return [kind.process_result_value(value, _STORED) for value in values]


def _for_binding(column: Column[Any], values: Sequence[Any]) -> Sequence[Any]:
    """Stored values as they are taken in bulk: texts as they are, truth values as such."""
    if isinstance(column.type, YesNo):
        return _plain(column, values)
    return values
