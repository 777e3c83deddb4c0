"""Values that this version would have refused: rows that a program without its rules has written.

The rules are those of the tables (the CHECKs, which are made from `fields.py` and `vocabulary/`), asked once more of
every row; and also the form of each value. A file stores whatever it is given where its own rules were lost; a server's
types refuse much, but not a time of `infinity`, a year that no calendar here knows, or signs that steer a terminal.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from datetime import date, datetime
from typing import Any

from sqlalchemy import CheckConstraint, Connection, Engine, Table, inspect, text
from sqlalchemy.exc import DBAPIError

from obslog.english import counted
from obslog.fields import unusable
from obslog.records.care.finding import Finding
from obslog.records.tables.base import name_key
from obslog.records.tables.column_types import Key, LocalDate, UtcTime, YesNo
from obslog.records.tables.schema import metadata

ADVICE = (
    "Another program wrote them, or the file was changed by hand. Correct each with the edit command of its kind; "
    "if there are many, go back to a copy from before: obslog db restore"
)
_BATCH = 2000
_KEY = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
_UTC = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{6}Z")
_RANGE = re.compile(r"BETWEEN (\S+) AND (\S+)")
_IN_WORDS = {
    "due_after_out": "that were due back before they went out",
    "back_after_out": "that came back before they went out",
    "back_after_retired": "that came back before they were retired",
    "found_after_since": "that were found before they went missing",
    "later": "that were put off to an earlier day",
    "kit_or_thing": "that are about both a kit and an item, or about neither",
    "place_whole": "with a right ascension or a declination alone",
    "offset_whole": "with one of the two offsets alone",
    "value_or_word": "with both a number and a word, or neither",
}
_SEARCH_RULE = "search_text_kept"  # what cannot be found is looked for by itself, in damage.py


def broken_rules(engine: Engine) -> list[Finding]:
    """The rows that break a rule of their table, a finding for each rule that is broken."""
    return [found for table in metadata.sorted_tables for found in _of_table(engine, table)]


def _of_table(engine: Engine, table: Table) -> Iterator[Finding]:
    for rule in sorted(table.constraints, key=_name_of):
        if not isinstance(rule, CheckConstraint) or _name_of(rule).endswith(_SEARCH_RULE):
            continue
        column = next((name for name in table.columns.keys() if _name_of(rule).startswith(f"{name}_")), "id")  # noqa: SIM118
        broken = f"FROM {table.name} WHERE NOT ({rule.sqltext})"
        try:
            with engine.connect() as connection:
                count = connection.execute(text(f"SELECT count(*) {broken}")).scalar_one()
                query = f"SELECT id, CAST({column} AS TEXT) AS told {broken} ORDER BY id LIMIT 1"
                first = connection.execute(text(query)).first()
        except DBAPIError as error:
            if _is_lacking(error):
                continue  # the table or column is not there: the schema's own check says so
            raise
        if first is not None:
            yield Finding(
                subject="values",
                what=f"{counted(count, 'row')} of {_told(table.name)} {_in_words(rule, column)}.",
                count=count,
                example=_example(first[0], column, first[1]),
                advice=ADVICE,
                grave=True,
            )


def _told(table: str) -> str:
    return table.replace("_", " ")


def _name_of(rule: Any) -> str:
    return str(rule.name or "").removeprefix(f"ck_{rule.table.name}_")


def _is_lacking(error: DBAPIError) -> bool:
    told = str(error.orig)
    return "no such" in told or getattr(error.orig, "sqlstate", None) in ("42P01", "42703")


def _in_words(rule: CheckConstraint, column: str) -> str:
    name = _name_of(rule)
    if name in _IN_WORDS:
        return _IN_WORDS[name]
    if name == f"{column}_known":
        return f"with a word in {column} that is none of those known"
    if found := _RANGE.search(str(rule.sqltext)):
        characters = " characters" if name.endswith("_length") else ""
        return f"with {column} outside of {found[1]} to {found[2]}{characters}"
    return f"that break the rule {name}"


def _example(key: object, column: str, value: object) -> str:
    return f"key {key}" if column == "id" else f"key {key}: {column} {str(value)[:60]!r}"


def unreadable_values(connection: Connection) -> list[Finding]:
    """The values that are not in the form in which this version writes them: keys, times, dates, texts."""
    return [found for table in metadata.sorted_tables for found in _unreadable_in(connection, table)]


def readable(column: str, dialect: str) -> str:
    """The condition, in SQL, that a time or a date is one that can be read at all; in a file it is read as text.

    Source: PostgreSQL's manual, 8.5 (dates from 4713 BC on, and the special values infinity and -infinity).
    """
    return "1 = 1" if dialect == "sqlite" else f"({column} BETWEEN '0001-01-02' AND '9999-12-30')"


def _unreadable_in(connection: Connection, table: Table) -> Iterator[Finding]:
    there = _columns_there(connection, table)
    forms = {name: form for name, form in _forms(table).items() if name in there}
    if connection.dialect.name != "sqlite":
        yield from _out_of_the_calendar(connection, table, forms)
        forms = {name: form for name, form in forms.items() if form[0] == _PLAIN}
    if not forms or "id" not in there:
        return
    query = f"SELECT id, {', '.join(forms)} FROM {table.name}"
    counts: dict[str, int] = {}
    examples: dict[str, str] = {}
    rows = connection.execution_options(yield_per=_BATCH).exec_driver_sql(query)
    for key, *values in rows:
        for (name, (_, is_right)), value in zip(forms.items(), values, strict=True):
            if value is not None and not is_right(value):
                counts[name] = counts.get(name, 0) + 1
                examples.setdefault(name, _example(key, name, value))
    for name, count in counts.items():
        yield _misshapen(table.name, name, forms[name][0], count, examples[name])
    if {"name", "name_key"} <= there:
        yield from _misnamed(connection, table.name)


def _columns_there(connection: Connection, table: Table) -> set[str]:
    inspector = inspect(connection)
    if not inspector.has_table(table.name):
        return set()
    return {column["name"] for column in inspector.get_columns(table.name)}


def _out_of_the_calendar(
    connection: Connection, table: Table, forms: Mapping[str, "_Form"]
) -> Iterator[Finding]:
    """Times and dates of a server that no program here can read."""
    for name, (form, _) in forms.items():
        if form not in (_TIME, _DATE):
            continue
        lost = f"FROM {table.name} WHERE NOT {readable(name, connection.dialect.name)}"
        count = connection.execute(text(f"SELECT count(*) {lost}")).scalar_one()
        if count:
            query = f"SELECT id, CAST({name} AS TEXT) AS told {lost} ORDER BY id LIMIT 1"
            key, value = connection.execute(text(query)).one()
            yield _misshapen(table.name, name, form, count, _example(key, name, value))


def _misshapen(table: str, column: str, form: str, count: int, example: str) -> Finding:
    return Finding(
        subject="values",
        what=f"{counted(count, 'row')} of {_told(table)} with {column} that is no {form}.",
        count=count,
        example=example,
        advice=ADVICE,
        grave=form != _PLAIN,
    )


_PLAIN, _TIME, _DATE = "plain text", "time", "date"
_Form = tuple[str, Callable[[Any], bool]]


def _forms(table: Table) -> Mapping[str, _Form]:
    found: dict[str, _Form] = {}
    for column in table.columns:
        if isinstance(column.type, Key):
            found[column.name] = ("key", _is_key)
        elif isinstance(column.type, UtcTime):
            found[column.name] = (_TIME, _is_time)
        elif isinstance(column.type, LocalDate):
            found[column.name] = (_DATE, _is_date)
        elif isinstance(column.type, YesNo):
            found[column.name] = ("yes or no", lambda value: value in (0, 1))
        elif column.type.python_type is str and column.name != "search_text":
            found[column.name] = (_PLAIN, _is_plain)
    return found


def _is_key(value: object) -> bool:
    return isinstance(value, str) and _KEY.fullmatch(value) is not None


def _is_time(value: object) -> bool:
    return (
        isinstance(value, str)
        and _UTC.fullmatch(value) is not None
        and _is_read(datetime.fromisoformat, value)
    )


def _is_date(value: object) -> bool:
    return isinstance(value, str) and len(value) == len("2026-03-02") and _is_read(date.fromisoformat, value)


def _is_plain(value: object) -> bool:
    return isinstance(value, str) and not unusable(value)


def _is_read(reading: Callable[[str], object], value: str) -> bool:
    try:
        reading(value)
    except ValueError:
        return False
    return True


def _misnamed(connection: Connection, table: str) -> Iterator[Finding]:
    """Names that are looked for under another spelling than theirs, and so not found."""
    rows = connection.exec_driver_sql(f"SELECT id, name, name_key FROM {table} ORDER BY id")
    wrong = [(key, name) for key, name, kept in rows if isinstance(name, str) and name_key(name) != kept]
    if wrong:
        yield Finding(
            subject="values",
            what=f"{counted(len(wrong), 'row')} of {_told(table)} cannot be found by name.",
            count=len(wrong),
            example=_example(wrong[0][0], "name", wrong[0][1]),
            advice="Give each its name anew with the edit command of its kind.",
            grave=True,
        )
