"""What `db check --repair` puts right: only what is made from the records and can be made again, after a copy.

Indexes, triggers, search texts, kept results, the rights of files, and how the records of a merge stand beside each
other, by the history. No other record is touched.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection, text
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from obslog.english import counted
from obslog.records.care.copies_before import copy_before, remove_older, told_of
from obslog.records.care.copying import OpenDatabase
from obslog.records.care.damage import search_tables, wrong_search_texts
from obslog.records.care.finding import Finding
from obslog.records.care.schema_drift import Drift, drift_of_file, drift_of_server
from obslog.records.change_counting import is_counting, start_counting
from obslog.records.driver_errors import in_sentences
from obslog.records.engine import file_of, writing
from obslog.records.files.private_databases import tighten
from obslog.records.history.recorder import wait_for_other_acts
from obslog.records.kept_results import forget_results
from obslog.records.merging.kept_for_later import set_aside_otherwise, settle_set_aside
from obslog.records.tables.schema import metadata


@dataclass(frozen=True, slots=True)
class Mended:
    """What was done, a sentence each, and the copy that was made before; None where there was nothing to do first."""

    done: list[str]
    copy: Path | None


def mend(database: OpenDatabase, found: list[Finding], now: datetime, *, shared: bool = False) -> Mended:
    """Put right what is repairable of what a check has found. Raises what a copy and the database raise."""
    if not any(one.repairable for one in found):
        return Mended([], None)
    copy = copy_before(database, "repair", now, even_damaged=True)
    subjects = {one.subject for one in found if one.repairable}
    done: list[str] = []
    with in_sentences(database.where), writing(database.engine).begin() as connection:
        if "merging" in subjects:  # first, for acts wait before anything is written
            done += _set_aside(connection)
        if subjects & {"schema", "damage"}:
            done += _schema(connection)
        if "damage" in subjects:
            connection.exec_driver_sql("REINDEX")
            done.append("All indexes were made anew.")
        if "search" in subjects:
            done += _search_texts(connection)
        forget_results(connection)
        done.append("Results that were kept are dropped; they are computed anew when they are needed.")
    path = file_of(database.engine)
    if path is not None and copy is not None and (removed := remove_older(path, copy, now)):
        done.append(told_of(removed))
    if "rights" in subjects and not shared and path is not None:
        closed = tighten(path)
        done += [f"Only you can read {file} now." for file in closed]
    return Mended(done, copy)


def _schema(connection: Connection) -> Iterator[str]:
    on_file = connection.dialect.name == "sqlite"
    drift = drift_of_file(connection) if on_file else drift_of_server(connection)
    triggers = drift.missing.get("trigger", [])
    if triggers or not is_counting(connection):
        start_counting(connection)
        yield "The triggers that count changes were made anew."
    for name in drift.missing.get("index", []):
        yield _make_index(connection, name, drift)
    others = [name for name in triggers if name in drift.statements and not _is_there(connection, name)]
    for name in others:
        connection.exec_driver_sql(drift.statements[name])
        yield f"The trigger {name} was made anew."


def _make_index(connection: Connection, name: str, drift: Drift) -> str:
    """Drop an index that is otherwise, and make it as it should be; rows may stand in the way of a unique one."""
    statement = drift.statements.get(name)
    try:
        with connection.begin_nested():
            connection.exec_driver_sql(f"DROP INDEX IF EXISTS {name}")
            if statement is not None:
                connection.exec_driver_sql(statement)
            else:
                next(i for t in metadata.sorted_tables for i in t.indexes if i.name == name).create(
                    connection
                )
    except IntegrityError as error:
        told = str(error.orig).splitlines()[0]
        return f"The index {name} could not be made, for rows are there twice that may be only once ({told})."
    return f"The index {name} was made anew."


def _is_there(connection: Connection, name: str) -> bool:
    query = text("SELECT count(*) FROM sqlite_master WHERE name = :name")
    return bool(connection.execute(query, {"name": name}).scalar_one())


def _search_texts(connection: Connection) -> Iterator[str]:
    for table in search_tables():
        wrong = list(wrong_search_texts(connection, table))
        statement = text(f"UPDATE {table} SET search_text = :right WHERE id = :key")
        for key, right in wrong:
            connection.execute(statement, {"right": right, "key": key})
        if wrong:
            yield f"The search text of {counted(len(wrong), 'row')} of {table} was made anew."


def _set_aside(connection: Connection) -> Iterator[str]:
    with Session(connection) as session:
        wait_for_other_acts(session)
        count = len(set_aside_otherwise(session))
        settle_set_aside(session)
        session.flush()
    yield f"{counted(count, 'record')} of a merge settled anew, as this version merges."
