"""What is stored comes back as it was, on either database."""

import uuid
from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Column, Connection, Integer, MetaData, Table, Text, insert, select
from sqlalchemy.dialects.sqlite import dialect
from sqlalchemy.exc import StatementError

from obslog.records.database import Database
from obslog.records.tables.column_types import Key, LocalDate, Real, UtcTime, Word, YesNo
from obslog.vocabulary.arrivals import Landing

SAMPLES = Table(
    "samples",
    MetaData(),
    Column("number", Integer, primary_key=True),
    Column("key", Key()),
    Column("instant", UtcTime()),
    Column("day", LocalDate()),
    Column("real", Real),
    Column("yes", YesNo()),
    Column("word", Word(Landing)),
    Column("text", Text()),
    prefixes=["TEMPORARY"],
    sqlite_strict=True,
)
SQLITE = dialect()
FIRST, LAST = datetime(2, 1, 1), datetime(9998, 1, 1)  # noqa: DTZ001 - hypothesis adds the zones
ZONES = st.integers(-14 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))
INSTANTS = st.datetimes(FIRST, LAST, timezones=ZONES)
KINDS: dict[str, st.SearchStrategy[Any]] = {
    "key": st.uuids(),
    "instant": INSTANTS,
    "day": st.dates(),
    "real": st.floats(allow_nan=False),
    "yes": st.booleans(),
    "word": st.sampled_from(Landing),
    "text": st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0")),
}


def stored_and_read(connection: Connection, column: str, value: Any) -> Any:
    """The value as it comes back from a strict table."""
    key = connection.execute(insert(SAMPLES).values({column: value})).inserted_primary_key
    assert key is not None
    return connection.scalar(select(SAMPLES.c[column]).where(SAMPLES.c.number == key[0]))


@pytest.mark.parametrize("column", KINDS)
def test_a_stored_value_comes_back_equal_and_of_its_own_type(database: Database, column: str) -> None:
    with database.engine.connect() as connection:
        SAMPLES.create(connection)

        @settings(max_examples=40, deadline=None, database=None)
        @given(KINDS[column])
        def comes_back(value: Any) -> None:
            back = stored_and_read(connection, column, value)
            assert back == value
            assert type(back) is type(value)

        comes_back()
        connection.rollback()


@pytest.mark.parametrize("column", KINDS)
def test_the_unknown_stays_unknown(database: Database, column: str) -> None:
    with database.engine.connect() as connection:
        SAMPLES.create(connection)
        assert stored_and_read(connection, column, None) is None
        connection.rollback()


def test_an_instant_comes_back_in_utc(database: Database) -> None:
    with database.engine.connect() as connection:
        SAMPLES.create(connection)
        back = stored_and_read(
            connection, "instant", datetime(2026, 7, 1, 1, tzinfo=timezone(timedelta(hours=2)))
        )
        assert back.isoformat() == "2026-06-30T23:00:00+00:00"
        connection.rollback()


def test_a_time_without_a_zone_is_refused(database: Database) -> None:
    with database.engine.connect() as connection:
        SAMPLES.create(connection)
        with pytest.raises(StatementError, match="a time without a zone"):
            stored_and_read(connection, "instant", datetime(2026, 3, 2, 21, 40))  # noqa: DTZ001
        connection.rollback()


@given(st.lists(st.datetimes(FIRST, LAST, timezones=st.just(UTC)), max_size=20))
def test_instants_as_sqlite_text_sort_in_time_order(instants: list[datetime]) -> None:
    texts = [UtcTime().process_bind_param(instant, SQLITE) for instant in instants]
    assert sorted(texts) == [UtcTime().process_bind_param(instant, SQLITE) for instant in sorted(instants)]


@given(st.lists(st.dates(), max_size=20))
def test_dates_as_sqlite_text_sort_in_time_order(days: list[date]) -> None:
    texts = [LocalDate().process_bind_param(day, SQLITE) for day in days]
    assert sorted(texts) == [LocalDate().process_bind_param(day, SQLITE) for day in sorted(days)]


def test_a_key_is_kept_on_sqlite_as_text_that_people_can_read(sqlite_database: Database) -> None:
    key = uuid.UUID("017f22e2-79b0-7cc3-98c4-dc0c0c07398f")
    with sqlite_database.engine.connect() as connection:
        SAMPLES.create(connection)
        stored_and_read(connection, "key", key)
        assert connection.exec_driver_sql("SELECT key FROM samples").scalar() == str(key)
        connection.rollback()
