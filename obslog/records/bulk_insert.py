"""Many rows at once, with what they are searched by.

An insert is compiled once by SQLAlchemy and handed to the driver with plain tuples.

What a Core insert of dictionaries adds for each row (a dictionary of parameters, a call for each column) costs more
than the insert itself; here only the columns whose type needs it are converted, a column at a time.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sqlalchemy import Dialect, Table, insert, update
from sqlalchemy.orm import Session

from obslog.records.tables.base import Base
from obslog.records.tables.search_text import SEARCHED, search_text

_AS_STORED = {str, type(None)}
_OFTEN = 4  # values that come again that often on the average, such as the key of a night, are converted once


def insert_rows(
    session: Session, table: Table, columns: Sequence[str], rows: Sequence[tuple[Any, ...]]
) -> None:
    """Insert tuples of values in the order of `columns`, in the session's transaction.

    Values are of the columns' Python types. A column that holds nothing but text goes in as it is: keys, words and
    instants (as `stored_utc` writes them) may be given as text, which costs less by the hundred thousand.
    """
    if rows:
        insert_columns(session, table, dict(zip(columns, zip(*rows, strict=True), strict=True)))


def insert_columns(session: Session, table: Table, given: Mapping[str, Sequence[Any]]) -> None:
    """Insert rows given as the values of each column, as `insert_rows` does it; there is at least one row."""
    if (searched := SEARCHED.get(table.name)) and "search_text" not in given:
        given = _with_search_text(given, searched)
    connection = session.connection()
    dialect = connection.dialect
    compiled = insert(table).compile(dialect=dialect, column_keys=list(given))
    order = list(compiled.positiontup or given)  # the table's order, where the driver counts its parameters
    ready = zip(*(_converted(table, name, given[name], dialect) for name in order), strict=True)
    parameters: list[Any] = list(
        ready if compiled.positional else (dict(zip(order, row, strict=True)) for row in ready)
    )
    connection.exec_driver_sql(str(compiled), parameters)


def update_rows(session: Session, kind: type[Base], rows: Sequence[Mapping[str, Any]]) -> None:
    """Change rows by their "id", each given with the same columns, in the session's transaction.

    Where a searched column is among them all of the table's must be, for the search text is made of them together.
    """
    if not rows:
        return
    searched = SEARCHED.get(kind.__tablename__, ())
    if set(searched) & rows[0].keys():
        rows = [{**row, "search_text": search_text([row[name] for name in searched])} for row in rows]
    session.execute(update(kind), rows)


def _with_search_text(
    given: Mapping[str, Sequence[Any]], searched: Sequence[str]
) -> Mapping[str, Sequence[Any]]:
    """The same columns with what is searched by; nothing more where no row has any text."""
    texts = [*map(search_text, zip(*(given[name] for name in searched if name in given), strict=True))]
    return given if set(texts) <= {None} else {**given, "search_text": texts}


def _converted(table: Table, name: str, values: Sequence[Any], dialect: Dialect) -> Iterable[Any]:
    if set(map(type, values)) <= _AS_STORED:
        return values
    processor = table.c[name].type.dialect_impl(dialect).bind_processor(dialect)
    if processor is None:
        return values
    distinct = set(values)
    if len(distinct) * _OFTEN > len(values):
        return map(processor, values)
    converted = {value: processor(value) for value in distinct}
    return map(converted.__getitem__, values)
