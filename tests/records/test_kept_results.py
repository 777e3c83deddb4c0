"""Kept results are read while nothing they come from has changed, else made anew, and never stand in the way."""

import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from uuid import UUID

import pytest
from sqlalchemy import delete, func, select, text, update

from obslog.packing import packed
from obslog.records.change_counting import start_counting
from obslog.records.database import Database
from obslog.records.engine import BUSY_TIMEOUT_MS, make_engine, writing
from obslog.records.kept_results import KeptResults, Result, forget_results, sealed
from obslog.records.name_lookup import by_name
from obslog.records.tables.kept import kept_results, mount_changes
from obslog.records.tables.logbook_tables import Mount
from tests.written_once import Rows, put_rows

SUM = "sum"


class Sums:
    """Makes a result again and again, and counts how often it was really made."""

    def __init__(self, database: Database, version: str = "1") -> None:
        self.database, self.version, self.made = database, version, 0
        with database.read() as session:
            self.heron = by_name(session, Mount, "Heron").id

    def ask(self, value: int = 7, basis: object = "") -> int:
        with self.database.read() as session:
            return self.of(KeptResults.of(session, self.version), value, basis)

    def of(self, kept: KeptResults, value: int, basis: object = "") -> int:
        def make() -> int:
            self.made += 1
            return value

        return kept.get(Result.of_mount(SUM, self.heron), [self.heron], int, make, basis=basis)


@pytest.fixture
def sums(club: Database) -> Sums:
    return Sums(club)


def touch(database: Database, mount: UUID) -> None:
    with writing(database.engine).begin() as connection:
        connection.execute(
            update(mount_changes)
            .where(mount_changes.c.mount_id == mount)
            .values(changes=mount_changes.c.changes + 1)
        )


def rows(database: Database) -> int:
    with database.engine.connect() as connection:
        return connection.scalar(select(func.count()).select_from(kept_results)) or 0


def test_a_result_is_made_once(sums: Sums) -> None:
    assert [sums.ask() for _ in range(3)] == [7, 7, 7]
    assert (sums.made, rows(sums.database)) == (1, 1)


def test_a_result_is_made_once_within_a_session(sums: Sums) -> None:
    with sums.database.read() as session:
        kept = KeptResults.of(session, "1")
        assert [sums.of(kept, 7), sums.of(KeptResults.of(session, "1"), 8)] == [7, 7]


def test_after_a_change_of_its_mount_it_is_made_anew_and_of_another_mount_not(sums: Sums) -> None:
    sums.ask()
    with sums.database.read() as session:
        touch(sums.database, by_name(session, Mount, "Bracken").id)
    assert sums.ask(8) == 7
    touch(sums.database, sums.heron)
    assert (sums.ask(8), sums.ask(9)) == (8, 8)
    assert (sums.made, rows(sums.database)) == (2, 1)


def test_another_version_of_the_mathematics_makes_it_anew(sums: Sums) -> None:
    sums.ask()
    newer = Sums(sums.database, "2")
    assert (newer.ask(8), newer.ask(9)) == (8, 8)
    assert sums.ask(7) == 7
    assert sums.made == 2, "the older program does not believe the newer one"


def test_another_basis_makes_it_anew(sums: Sums) -> None:
    assert (sums.ask(7, ["Ines"]), sums.ask(8, ["Ines"]), sums.ask(8, ["Bram"])) == (7, 7, 8)


@pytest.mark.parametrize("damage", [b"", b"\xc1", b"\xa3abc", b"\x07\x07"])
def test_a_damaged_result_is_as_good_as_none(sums: Sums, damage: bytes) -> None:
    sums.ask()
    with writing(sums.database.engine).begin() as connection:
        connection.execute(update(kept_results).values(payload=damage))
    assert (sums.ask(8), sums.ask(9)) == (8, 8)


def test_a_result_from_rows_that_changed_meanwhile_is_found_out_of_date(sums: Sums) -> None:
    """A change that is committed between the counting and the keeping: what was made is not kept at all."""
    with sums.database.read() as session:
        kept = KeptResults.of(session, "1")
        session.commit()  # as on a server, where each statement sees what is there by then
        touch(sums.database, sums.heron)
        assert sums.of(kept, 7) == 7
    assert (rows(sums.database), sums.ask(8)) == (0, 8)


def test_two_programs_may_keep_the_same_result(sums: Sums) -> None:
    with sums.database.read() as session:
        first = KeptResults.of(session, "1")
        sums.of(first, 7)
        with sums.database.read() as other:
            sums.of(KeptResults.of(other, "1"), 7)
    assert (rows(sums.database), sums.ask(8)) == (1, 7)


def test_an_activity_that_fails_keeps_nothing(sums: Sums) -> None:
    @contextmanager
    def failing() -> Iterator[None]:
        with sums.database.read() as session:
            sums.of(KeptResults.of(session, "1"), 7)
            yield

    with pytest.raises(ZeroDivisionError), failing():
        raise ZeroDivisionError
    assert rows(sums.database) == 0


def test_an_interrupted_keeping_leaves_what_was_there(sums: Sums, monkeypatch: pytest.MonkeyPatch) -> None:
    sums.ask(7)
    touch(sums.database, sums.heron)
    monkeypatch.setattr(
        "obslog.records.kept_results.insert", lambda table: text("INSERT INTO nowhere VALUES (1)")
    )
    assert sums.ask(8) == 8  # it cannot be kept, and nobody is told
    monkeypatch.undo()
    assert (rows(sums.database), sums.ask(9), sums.ask(10)) == (1, 9, 9)


@pytest.fixture
def on_file(sqlite_database: Database, club_rows: Rows) -> Sums:
    put_rows(sqlite_database.engine, club_rows)
    return Sums(sqlite_database)


def test_where_another_program_is_writing_nobody_waits(on_file: Sums, now: datetime) -> None:
    other = Database(make_engine(on_file.database.where), "other")
    with other.write(now) as session:
        session.execute(select(Mount))
        started = time.monotonic()
        assert on_file.ask() == 7
        assert time.monotonic() - started < BUSY_TIMEOUT_MS / 1000 - 1
    other.close()
    assert rows(on_file.database) == 0
    with on_file.database.engine.connect() as connection:
        assert connection.scalar(text("PRAGMA busy_timeout")) == BUSY_TIMEOUT_MS, (
            "writers wait as long as ever"
        )


def test_a_file_that_may_only_be_read_is_read(on_file: Sums) -> None:
    path = on_file.database.where
    on_file.database.close()
    on_file.database = Database(make_engine(f"sqlite:///file:{path}?mode=ro&uri=true"), path)
    assert (on_file.ask(7), on_file.ask(8)) == (7, 8)
    on_file.database.close()


def test_results_are_read_all_at_once_for_who_needs_all(sums: Sums) -> None:
    sums.ask()
    with sums.database.read() as session:
        kept = KeptResults.of(session, "1")
        kept.read_ahead(SUM)
        with writing(sums.database.engine).begin() as connection:
            forget_results(connection)
        assert sums.of(kept, 8) == 7


def test_doubted_results_are_made_again_and_compared(sums: Sums) -> None:
    sums.ask(7)
    for value, differ in ((7, []), (8, [f"sum of {sums.heron}"])):
        with sums.database.read() as session:
            kept = KeptResults(session, "1", doubted=lambda result: result.kind == SUM)
            assert sums.of(kept, value) == value
            assert kept.compared() == (1, differ)
            kept.keep_nothing()
    assert sums.ask(9) == 7


def test_results_from_other_rows_are_not_compared(sums: Sums) -> None:
    sums.ask(7)
    touch(sums.database, sums.heron)
    with sums.database.read() as session:
        kept = KeptResults(session, "1", doubted=lambda _: True)
        sums.of(kept, 8)
        assert kept.compared() == (0, [])
        kept.keep_nothing()


def test_of_a_mount_that_is_not_counted_nothing_is_believed_or_kept(sums: Sums) -> None:
    sums.ask(7)
    with writing(sums.database.engine).begin() as connection:
        connection.execute(delete(mount_changes))
    assert [sums.ask(8), sums.ask(9)] == [8, 9]


def test_a_result_of_another_mount_or_kind_is_not_taken_for_it(sums: Sums) -> None:
    """Its bytes are sound and of the right shape; only what they are of is another thing."""
    sums.ask(7)
    with writing(sums.database.engine).begin() as connection:
        (mark,) = connection.scalars(select(kept_results.c.fingerprint))
        connection.execute(
            update(kept_results).values(
                fingerprint=mark, payload=sealed(Result("difference"), mark, packed(5))
            )
        )
    assert sums.ask(8) == 8


def test_a_number_with_a_flipped_bit_is_as_good_as_none(sums: Sums) -> None:
    sums.ask(7)
    with writing(sums.database.engine).begin() as connection:
        (payload,) = connection.scalars(select(kept_results.c.payload))
        assert payload.endswith(packed(7))
        connection.execute(update(kept_results).values(payload=payload[:-1] + packed(5)))
    assert sums.ask(8) == 8


@pytest.mark.parametrize("damage", [b"", b"\xc1", b"\x91" * 100_000, b"\xdd\xff\xff\xff\xff"])
def test_a_damaged_result_counts_as_different_where_it_is_compared(sums: Sums, damage: bytes) -> None:
    sums.ask(7)
    with writing(sums.database.engine).begin() as connection:
        connection.execute(update(kept_results).values(payload=damage))
    with sums.database.read() as session:
        kept = KeptResults(session, "1", doubted=lambda _: True)
        sums.of(kept, 7)
        assert kept.compared() == (1, [f"sum of {sums.heron}"])


def test_where_a_mount_is_being_changed_nobody_waits_to_keep_its_results(sums: Sums) -> None:
    """On a server: on SQLite nobody else can write then, as tested above."""
    if sums.database.engine.name == "sqlite":
        return
    with writing(sums.database.engine).begin() as connection:
        connection.execute(update(mount_changes).values(changes=mount_changes.c.changes + 1))
        started = time.monotonic()
        assert sums.ask(7) == 7
        assert time.monotonic() - started < BUSY_TIMEOUT_MS / 1000 - 1
    assert rows(sums.database) == 0


def test_results_of_what_was_changed_meanwhile_are_not_compared(sums: Sums) -> None:
    """Else db check, on a server that is in use, would find a difference where there is none."""
    sums.ask(7)
    with sums.database.read() as session:
        kept = KeptResults(session, "1", doubted=lambda _: True)
        session.commit()  # as on a server, where each statement sees what is there by then
        touch(sums.database, sums.heron)
        sums.of(kept, 8)
        assert kept.compared() == (0, [])
        kept.keep_nothing()


def test_where_a_trigger_is_lost_nothing_is_believed_or_kept(sums: Sums) -> None:
    """A program that makes a table anew loses its triggers; a server can put one out of work."""
    sums.ask(7)
    with writing(sums.database.engine).begin() as connection:
        if sums.database.engine.name == "sqlite":
            connection.execute(text("DROP TRIGGER count_changes_of_arrivals_update"))
        else:
            connection.execute(text("ALTER TABLE arrivals DISABLE TRIGGER count_changes_of_arrivals"))
    assert [sums.ask(8), sums.ask(9)] == [8, 9]
    with writing(sums.database.engine).begin() as connection:
        start_counting(connection)
    assert [sums.ask(8), sums.ask(9)] == [8, 8]


def test_triggers_of_another_version_are_not_trusted(on_file: Sums) -> None:
    on_file.ask(7)
    with writing(on_file.database.engine).begin() as connection:
        connection.execute(text("DROP TRIGGER count_changes_of_members_update"))
        connection.execute(
            text("CREATE TRIGGER count_changes_of_members_update AFTER UPDATE ON members BEGIN SELECT 1; END")
        )
    assert on_file.ask(8) == 8
