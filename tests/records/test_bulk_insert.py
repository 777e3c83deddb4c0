"""Rows inserted in bulk are the same on record as rows added one by one."""

from datetime import datetime, timedelta

import pytest
from sqlalchemy import select
from sqlalchemy.exc import IntegrityError

from obslog.records.bulk_insert import insert_rows
from obslog.records.database import Database
from obslog.records.tables.column_types import stored_utc
from obslog.records.tables.keys import new_key, new_keys_as_text
from obslog.records.tables.logbook_tables import Arrival, Setup
from obslog.vocabulary.arrivals import Landing, Role
from obslog.vocabulary.mounts import PierSide

COLUMNS = [
    "note", "id", "setup_id", "at_utc", "role", "target", "pier_side", "offset_east_arcmin", "offset_north_arcmin",
    "landing", "field_arcmin", "sheet_line",
]  # fmt: skip


def rows_for(setup_id: object, now: datetime) -> list[tuple[object, ...]]:
    """Arrivals with every kind of column, known and unknown, and signs that mean something to drivers."""
    return [
        ("50% :note ? 'ü'", new_key(), setup_id, now, Role.CHECK, "M 13", PierSide.EAST, -3.25, 2.0, None, 78.0, 2),
        (None, new_key(), setup_id, now + timedelta(microseconds=1), Role.GOTO, "M 31", None, None, None, Landing.LOST,
         None, 3),
    ]  # fmt: skip


def on_record(database: Database) -> list[tuple[object, ...]]:
    columns = [getattr(Arrival, name) for name in COLUMNS]
    with database.read() as session:
        query = select(*columns).where(Arrival.sheet_line.is_not(None)).order_by(Arrival.sheet_line)
        return [tuple(row) for row in session.execute(query)]


def test_values_of_python_types_come_back_as_they_were(full_database: Database, now: datetime) -> None:
    with full_database.write(now) as session:
        rows = rows_for(session.scalars(select(Setup.id)).one(), now)
        insert_rows(session, Arrival.__table__, COLUMNS, rows)  # type: ignore[arg-type]
    assert on_record(full_database) == rows


def test_keys_words_and_instants_may_be_given_as_text(full_database: Database, now: datetime) -> None:
    with full_database.write(now) as session:
        setup_id = session.scalars(select(Setup.id)).one()
        rows = rows_for(setup_id, now)
        as_text = [
            (note, key, str(setup_id), stored_utc(at_utc), str(role), *rest)  # type: ignore[arg-type]
            for (note, _, _, at_utc, role, *rest), key in zip(rows, new_keys_as_text(2), strict=True)
        ]
        insert_rows(session, Arrival.__table__, COLUMNS, as_text)  # type: ignore[arg-type]
    without_keys = [row[:1] + row[2:] for row in on_record(full_database)]
    assert without_keys == [row[:1] + row[2:] for row in rows]


def test_no_rows_are_no_statement(full_database: Database, now: datetime) -> None:
    with full_database.write(now) as session:
        insert_rows(session, Arrival.__table__, COLUMNS, [])  # type: ignore[arg-type]
    assert on_record(full_database) == []


def test_one_bad_row_keeps_all_others_out(full_database: Database, now: datetime) -> None:
    with full_database.write(now) as session:
        good, bad = rows_for(session.scalars(select(Setup.id)).one(), now)
        bad = (*bad[:4], "glance", *bad[5:])
        with pytest.raises(IntegrityError, match="ck_arrivals_role_known"):
            insert_rows(session, Arrival.__table__, COLUMNS, [good, bad])  # type: ignore[arg-type]
        session.rollback()
    assert on_record(full_database) == []
