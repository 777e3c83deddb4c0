"""Many rows at once: an insert compiled once by SQLAlchemy and handed to the driver with plain tuples.

What a Core insert of dictionaries adds for each row (a dictionary of parameters, a call for each column) costs more
than the insert itself; here only the columns whose type needs it are converted, a column at a time.
"""

from collections.abc import Iterable, Sequence
from typing import Any

from sqlalchemy import Dialect, Table, insert
from sqlalchemy.orm import Session

from obslog.records.tables.search_text import SEARCHED, search_text

_AS_STORED = {str, type(None)}


def insert_rows(
    session: Session, table: Table, columns: Sequence[str], rows: Sequence[tuple[Any, ...]]
) -> None:
    """Insert tuples of values in the order of `columns`, in the session's transaction.

    Values are of the columns' Python types. A column that holds nothing but text goes in as it is: keys, words and
    instants (as `stored_utc` writes them) may be given as text, which costs less by the hundred thousand.
    """
    if not rows:
        return
    if (searched := SEARCHED.get(table.name)) and "search_text" not in columns:
        columns, rows = _with_search_text(columns, rows, searched)
    connection = session.connection()
    dialect = connection.dialect
    compiled = insert(table).compile(dialect=dialect, column_keys=list(columns))
    order = list(compiled.positiontup or columns)  # the table's order, where the driver counts its parameters
    given = dict(zip(columns, zip(*rows, strict=True), strict=True))
    ready = zip(*(_converted(table, name, given[name], dialect) for name in order), strict=True)
    parameters: list[Any] = list(
        ready if compiled.positional else (dict(zip(order, row, strict=True)) for row in ready)
    )
    connection.exec_driver_sql(str(compiled), parameters)


def _with_search_text(
    columns: Sequence[str], rows: Sequence[tuple[Any, ...]], searched: Sequence[str]
) -> tuple[Sequence[str], Sequence[tuple[Any, ...]]]:
    """The same rows with what they are searched by; nothing more where none of them has any text."""
    places = [columns.index(name) for name in searched if name in columns]
    texts = [search_text([row[place] for place in places]) for row in rows]
    if not any(texts):
        return columns, rows
    return [*columns, "search_text"], [(*row, text) for row, text in zip(rows, texts, strict=True)]


def _converted(table: Table, name: str, values: Sequence[Any], dialect: Dialect) -> Iterable[Any]:
    if set(map(type, values)) <= _AS_STORED:
        return values
    processor = table.c[name].type.dialect_impl(dialect).bind_processor(dialect)
    return values if processor is None else map(processor, values)
