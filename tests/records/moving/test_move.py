"""A club that is moved is the same row for row, wherever the move was broken off on the way."""

import hashlib
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Engine, Table, inspect, text

from obslog.errors import ObslogError
from obslog.records.change_counting import is_counting
from obslog.records.driver_errors import DatabaseInUse
from obslog.records.engine import make_engine, writing
from obslog.records.found_revision import UnfinishedMove
from obslog.records.moving import move, putting, stored_rows
from obslog.records.moving.move import MovedTable, MoveUnderWay, RowsDiffer, held_still, move_records
from obslog.records.moving.stored_rows import DERIVED
from obslog.records.moving.target import TargetNotEmpty, target_of_move
from obslog.records.opening import open_database
from obslog.records.upgrading import SCHEMA_REVISION
from tests.conftest import quiet
from tests.records.moving.conftest import NOON_AFTER
from tests.written_once import rows_of


def deaf(_table: str, _there: int, _every: int) -> None:
    """Hears of no batch."""


@contextmanager
def engine_on(target: str) -> Iterator[Engine]:
    engine = make_engine(target)
    try:
        yield engine
    finally:
        engine.dispose()


def moved(source: str, target: str, tell: move.Tell = deaf) -> list[MovedTable]:
    with engine_on(source) as old:
        new, where = target_of_move(target, old, NOON_AFTER, quiet)
        try:
            with held_still(old) as connection:
                return move_records(connection, new, where, tell)
        finally:
            new.dispose()


def rows_at(target: str) -> Any:
    with engine_on(target) as engine:
        return rows_of(engine)


class BrokenOff(Exception):
    """The power went, or the line to the server."""


def test_every_row_is_there_and_the_old_file_is_not_touched(full_club: Path, new_target: str) -> None:
    before = hashlib.sha256(full_club.read_bytes()).hexdigest()
    tables = {table.table: table for table in moved(str(full_club), new_target)}
    assert rows_at(new_target) == rows_at(str(full_club))
    assert hashlib.sha256(full_club.read_bytes()).hexdigest() == before
    with engine_on(str(full_club)) as engine, engine.connect() as connection:
        for name in inspect(engine).get_table_names():
            if name not in {*DERIVED, "alembic_version"}:
                assert tables[name].rows == connection.scalar(text(f"SELECT count(*) FROM {name}")), name
    open_database(new_target, NOON_AFTER, quiet).close()
    with engine_on(new_target) as engine, engine.connect() as connection:
        assert is_counting(connection)


def test_there_and_back_again_is_the_same(full_club: Path, new_target: str, tmp_path: Path) -> None:
    moved(str(full_club), new_target)
    back = str(tmp_path / "back.db")
    moved(new_target, back)
    assert rows_at(back) == rows_at(str(full_club))


@pytest.mark.parametrize("batch", [50, 3000])
def test_a_move_broken_off_at_any_batch_goes_on_and_nothing_is_doubled(
    full_club: Path, new_target: str, monkeypatch: pytest.MonkeyPatch, batch: int
) -> None:
    monkeypatch.setattr(stored_rows, "BATCH", batch)
    left, put = [7], putting.put_rows

    def until_it_breaks(connection: Any, table: Table, rows: Any) -> None:
        put(connection, table, rows[: len(rows) // 2])
        left[0] -= 1
        if not left[0]:
            left[0] = 23
            raise BrokenOff
        put(connection, table, rows[len(rows) // 2 :])

    monkeypatch.setattr(move, "put_rows", until_it_breaks)
    for _attempt in range(200):
        try:
            tables = moved(str(full_club), new_target)
        except BrokenOff:
            with pytest.raises(UnfinishedMove):
                open_database(new_target, NOON_AFTER, quiet)
        else:
            break
    assert rows_at(new_target) == rows_at(str(full_club))
    assert sum(table.came_now for table in tables) < sum(table.rows for table in tables)


@pytest.fixture
def handed_on_club(full_club: Path) -> Path:
    """Some of its loans were handed over from loans with later keys, as a clock that was put right leaves them."""
    with closing(sqlite3.connect(full_club)) as file, file:
        keys = [f"0192000{number}-0000-7000-8000-000000000000" for number in range(10)]
        file.execute("CREATE TEMP TABLE made AS SELECT * FROM loans WHERE back_on IS NOT NULL LIMIT 1")
        for key in keys:
            file.execute("UPDATE made SET id = ?", (key,))
            file.execute("INSERT INTO loans SELECT * FROM made")
        handed_on = zip(keys[3:], keys[:-3], strict=True)
        file.executemany("UPDATE loans SET handed_over_from_id = ? WHERE id = ?", handed_on)
    return full_club


@pytest.mark.parametrize("batch", [1, 4, 3000])
def test_no_batch_is_larger_than_the_others_whatever_its_rows_refer_to(
    handed_on_club: Path, new_target: str, monkeypatch: pytest.MonkeyPatch, batch: int
) -> None:
    put, largest = putting.put_rows, dict.fromkeys(("acts", "loans"), 0)

    def measured(connection: Any, table: Table, rows: Any) -> None:
        largest[table.name] = max(largest.get(table.name, 0), len(rows))
        put(connection, table, rows)

    def only_these(connection: Any, table: Table, after: str | None = None) -> Any:
        monkeypatch.setattr(stored_rows, "BATCH", batch if table.name == "loans" else 50)
        return stored_rows.stored_rows(connection, table, after)

    monkeypatch.setattr(move, "put_rows", measured)
    monkeypatch.setattr(move, "stored_rows", only_these)
    moved(str(handed_on_club), new_target)
    assert rows_at(new_target) == rows_at(str(handed_on_club))
    assert largest["acts"] == 50
    assert largest["loans"] <= batch


def test_a_move_broken_off_before_rows_refer_to_later_ones_goes_on_with_that(
    handed_on_club: Path, new_target: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    refer, left = putting.put_references, [True]

    def half_of_them(connection: Any, table: Table, column: str, pairs: Any) -> None:
        refer(connection, table, column, pairs[: len(pairs) // 2])
        if left.pop():
            left.append(False)
            raise BrokenOff
        left.append(False)
        refer(connection, table, column, pairs)

    monkeypatch.setattr(move, "put_references", half_of_them)
    with pytest.raises(BrokenOff):
        moved(str(handed_on_club), new_target)
    tables = {table.table: table for table in moved(str(handed_on_club), new_target)}
    assert rows_at(new_target) == rows_at(str(handed_on_club))
    assert tables["loans"].came_now == 0


def test_what_an_unfinished_move_of_another_club_left_is_replaced(
    full_club: Path, club_file: Path, new_target: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    put = putting.put_rows

    def broken(connection: Any, table: Table, rows: Any) -> None:
        if table.name == "mounts":
            raise BrokenOff
        put(connection, table, rows)

    with monkeypatch.context() as patch:
        patch.setattr(move, "put_rows", broken)
        with pytest.raises(BrokenOff):
            moved(str(club_file), new_target)
    moved(str(full_club), new_target)
    assert rows_at(new_target) == rows_at(str(full_club))


def test_a_row_that_came_out_otherwise_is_seen_and_the_new_place_stays_closed(
    full_club: Path, new_target: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    put = putting.put_rows

    def bent(connection: Any, table: Table, rows: list[tuple[Any, ...]]) -> None:
        if table.name == "arrivals":
            east = [column.name for column in table.columns].index("offset_east_arcmin")
            rows = [(*row[:east], 0.25 if row[east] else row[east], *row[east + 1 :]) for row in rows]
        put(connection, table, rows)

    monkeypatch.setattr(move, "put_rows", bent)
    with pytest.raises(RowsDiffer, match="arrivals"):
        moved(str(full_club), new_target)
    with pytest.raises(UnfinishedMove):
        open_database(new_target, NOON_AFTER, quiet)


def test_nobody_can_record_anything_in_the_old_one_meanwhile(
    full_club: Path, new_postgres_url: Callable[[], str], tmp_path: Path
) -> None:
    url = new_postgres_url()
    moved(str(full_club), url)
    for old in (str(full_club), url):
        with engine_on(old) as engine, held_still(engine):
            impatient = open_database(old, NOON_AFTER, quiet, busy_timeout_ms=50)
            with pytest.raises(DatabaseInUse), impatient.write(NOON_AFTER, "add a site") as session:
                session.execute(text("UPDATE sites SET note = 'changed'"))
            impatient.close()


def test_a_place_with_records_in_it_is_refused(full_club: Path, new_target: str) -> None:
    moved(str(full_club), new_target)
    before = rows_at(new_target)
    with pytest.raises(TargetNotEmpty):
        moved(str(full_club), new_target)
    assert rows_at(new_target) == before


def test_two_moves_into_one_server_are_kept_apart(
    full_club: Path, new_postgres_url: Callable[[], str]
) -> None:
    url = new_postgres_url()

    def second(_table: str, _there: int, _every: int) -> None:
        with (
            engine_on(str(full_club)) as old,
            engine_on(url) as new,
            old.connect() as connection,
            pytest.raises(MoveUnderWay),
        ):
            move_records(connection, new, url, deaf)

    moved(str(full_club), url, second)
    assert rows_at(url) == rows_at(str(full_club))


@pytest.fixture
def cut(postgres_admin: Any) -> Callable[[str], None]:
    """Cuts all lines to a database of the server."""

    def cut(url: str) -> None:
        name = make_engine(url).url.database
        postgres_admin.exec_driver_sql(
            f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}'"
        )

    return cut


def test_a_line_that_is_cut_between_two_batches_does_not_end_the_move(
    full_club: Path,
    new_postgres_url: Callable[[], str],
    monkeypatch: pytest.MonkeyPatch,
    cut: Callable[[str], None],
) -> None:
    monkeypatch.setattr(stored_rows, "BATCH", 500)
    url = new_postgres_url()

    def drop(table: str, there: int, _every: int) -> None:
        if table == "arrivals" and there == 1000:
            cut(url)

    moved(str(full_club), url, drop)
    assert rows_at(url) == rows_at(str(full_club))


def test_a_line_that_is_cut_within_a_batch_is_told_and_the_move_goes_on_where_it_was(
    full_club: Path,
    new_postgres_url: Callable[[], str],
    monkeypatch: pytest.MonkeyPatch,
    cut: Callable[[str], None],
) -> None:
    monkeypatch.setattr(stored_rows, "BATCH", 500)
    url, put, batches = new_postgres_url(), putting.put_rows, [0]

    def broken(connection: Any, table: Table, rows: Any) -> None:
        put(connection, table, rows)
        batches[0] += table.name == "arrivals"
        if batches[0] == 3:
            cut(url)

    with monkeypatch.context() as patch:
        patch.setattr(move, "put_rows", broken)
        with pytest.raises(ObslogError, match="was lost"):
            moved(str(full_club), url)
    tables = {table.table: table for table in moved(str(full_club), url)}
    assert tables["arrivals"].came_now == tables["arrivals"].rows - 1000
    assert rows_at(url) == rows_at(str(full_club))


def test_the_revision_says_again_what_it_is_of(full_club: Path, new_target: str) -> None:
    moved(str(full_club), new_target)
    with engine_on(new_target) as engine, writing(engine).connect() as connection:
        assert connection.scalar(text("SELECT version_num FROM alembic_version")) == SCHEMA_REVISION
