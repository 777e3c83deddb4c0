"""A command is begun again where nothing of it is on record, and only there."""

import io
from collections.abc import Callable
from datetime import UTC, datetime

import pytest

from obslog.cli.server.second_try import WAITS_S, tried_again
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.records.database import Database
from obslog.records.driver_errors import ConnectionLost, DatabaseInUse
from obslog.records.engine import make_engine

WHERE = "postgresql+psycopg://club@server/club"


@pytest.fixture
def paused() -> list[float]:
    return []


@pytest.fixture
def told() -> io.StringIO:
    return io.StringIO()


@pytest.fixture
def state(paused: list[float], told: io.StringIO) -> State:
    return State(
        clock=lambda: datetime(2026, 3, 2, tzinfo=UTC),
        environment={},
        screen=Screen(io.StringIO(), told),
        pause=paused.append,
    )


@pytest.fixture
def server() -> Database:
    return Database(make_engine(WHERE), WHERE)


def failing(times: int, done: list[int], error: Exception) -> Callable[[], str]:
    def work() -> str:
        done.append(1)
        if len(done) <= times:
            raise error
        return "done"

    return work


@pytest.mark.parametrize("times", [0, 1, 3])
def test_it_goes_well_once_the_line_is_back(
    state: State, server: Database, paused: list[float], told: io.StringIO, times: int
) -> None:
    done: list[int] = []
    assert tried_again(failing(times, done, ConnectionLost(WHERE)), server, state) == "done"
    assert len(done) == times + 1
    assert paused == list(WAITS_S[:times])
    assert told.getvalue().count("was lost. Trying again.") == times


def test_after_the_last_try_it_is_told(state: State, server: Database) -> None:
    done: list[int] = []
    with pytest.raises(ConnectionLost):
        tried_again(failing(9, done, ConnectionLost(WHERE)), server, state)
    assert len(done) == len(WAITS_S) + 1


def test_what_has_written_something_is_not_begun_again(state: State, server: Database) -> None:
    done: list[int] = []
    server.written.append(None)
    with pytest.raises(ConnectionLost):
        tried_again(failing(1, done, ConnectionLost(WHERE)), server, state)
    assert len(done) == 1


def test_what_will_not_pass_is_told_at_once(state: State, server: Database, paused: list[float]) -> None:
    with pytest.raises(DatabaseInUse):
        tried_again(failing(1, [], DatabaseInUse(WHERE)), server, state)
    assert paused == []


def test_a_file_has_no_line_to_lose(state: State) -> None:
    file = Database(make_engine("club.db"), "club.db")
    with pytest.raises(ConnectionLost):
        tried_again(failing(1, [], ConnectionLost("club.db")), file, state)
    assert tried_again(lambda: "done", None, state) == "done"
