"""A line to the server that breaks loses nothing that was acknowledged, and records nothing twice."""

from collections.abc import Iterator
from typing import Any

import pytest
from sqlalchemy import Connection, event, text

from obslog.club.register import named_records
from obslog.club.register.undo import undo
from obslog.records.database import Database
from obslog.records.driver_errors import ConnectionLost, EndUnknown
from tests.conftest import NOW

OTHERS = "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = 'shared' AND pid <> pg_backend_pid()"


def members(database: Database) -> list[str]:
    return [member["name"] for member in named_records.listed(database, "member")]


def add(database: Database, name: str) -> None:
    named_records.add(database, "member", name, {}, NOW)


@pytest.fixture
def at_the_end(postgres_database: Database) -> Iterator[list[Any]]:
    """What is done once, when the next transaction of an act is about to end."""
    todo: list[Any] = []

    def end(connection: Connection) -> None:
        if todo:
            todo.pop()(connection.connection.driver_connection)

    event.listen(postgres_database.engine, "commit", end)
    yield todo
    event.remove(postgres_database.engine, "commit", end)


def test_what_arrived_before_the_line_broke_is_done(
    postgres_database: Database, postgres_admin: Connection, at_the_end: list[Any]
) -> None:
    def arrived(driver: Any) -> None:
        driver.commit()
        postgres_admin.exec_driver_sql(OTHERS)

    at_the_end.append(arrived)
    add(postgres_database, "Ines")
    assert members(postgres_database) == ["Ines"]
    at_the_end.append(arrived)
    undo(postgres_database, NOW)
    assert members(postgres_database) == []


def test_what_did_not_arrive_is_told_and_left_nothing(
    postgres_database: Database, postgres_admin: Connection, at_the_end: list[Any]
) -> None:
    at_the_end.append(lambda _driver: postgres_admin.exec_driver_sql(OTHERS))
    with pytest.raises(ConnectionLost):
        add(postgres_database, "Ines")
    assert members(postgres_database) == []
    assert postgres_database.written == []
    add(postgres_database, "Ines")
    assert len(postgres_database.written) == 1


def test_a_line_that_breaks_in_the_middle_is_told(
    postgres_database: Database, postgres_admin: Connection
) -> None:
    def note_twice() -> None:
        with postgres_database.write(NOW, "note twice") as session:
            session.execute(text("UPDATE members SET note = 'x'"))
            postgres_admin.exec_driver_sql(OTHERS)
            session.execute(text("UPDATE members SET note = 'y'"))

    with pytest.raises(ConnectionLost):
        note_twice()


def test_an_end_that_cannot_be_looked_up_is_not_called_one_or_the_other(
    postgres_database: Database, postgres_admin: Connection, at_the_end: list[Any]
) -> None:
    at_the_end.append(lambda _driver: postgres_admin.exec_driver_sql(OTHERS))
    with pytest.raises(EndUnknown), postgres_database.write(NOW) as session:
        session.execute(text("UPDATE members SET note = 'x'"))


def test_a_line_that_was_cut_while_nobody_typed_is_not_even_noticed(
    postgres_database: Database, postgres_admin: Connection
) -> None:
    add(postgres_database, "Ines")
    postgres_admin.exec_driver_sql(OTHERS)
    add(postgres_database, "Bram")
    assert members(postgres_database) == ["Bram", "Ines"]
