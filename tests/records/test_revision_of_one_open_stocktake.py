"""Revision 0017, from databases in which several stocktakes are open: one is then, and nothing is lost."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime

import pytest
from alembic import command
from sqlalchemy import inspect, select, text
from sqlalchemy.exc import IntegrityError, OperationalError
from sqlalchemy.orm import Session

from obslog.errors import ObslogError
from obslog.records.database import Database
from obslog.records.engine import make_engine, writing
from obslog.records.opening import open_database
from obslog.records.tables.base import name_key
from obslog.records.tables.logbook_tables import Item
from obslog.records.tables.officer import NotOnRecord, Stocktake, StocktakeTick
from obslog.records.upgrading import upgrade
from tests.records.developers import on_database
from tests.records.merging.whole_log import Whole, entries_of_all, rows_now

BEFORE = "0016"
DAY, NEXT_DAY = date(2026, 3, 1), date(2026, 3, 2)
ITEM = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
FIRST, SECOND = "017f22e2-79b0-7cc3-98c4-dc0c0c073900", "017f22e2-79b0-7cc3-98c4-dc0c0c073901"
TICK = "017f22e2-79b0-7cc3-98c4-dc0c0c073902"


def at_revision(target: str, revision: str) -> Database:
    engine = make_engine(target)
    upgrade(engine, revision=revision)
    return Database(engine, target)


@contextmanager
def upgraded(target: str, now: datetime, said: list[str]) -> Iterator[Session]:
    database = open_database(target, now, said.append)
    with database.read() as session:
        yield session
    database.close()


def open_two(database: Database, now: datetime) -> None:
    """Two stocktakes, as two people on one server could begin them, each with what was seen in it."""
    with database.write(now, "add items") as session:
        items = [Item(name=name, name_key=name_key(name)) for name in ("Lamp", "Ladder", "Stool")]
        session.add_all(items)
        session.flush()
        keys = [item.id for item in items]
    for day, seen, unknown in ((DAY, (0, 1), "a torch"), (NEXT_DAY, (1, 2), "a lid")):
        with database.write(now, "start a stocktake") as session:
            stocktake = Stocktake(started_on=day)
            session.add(stocktake)
            session.flush()
            ticks = [
                StocktakeTick(stocktake_id=stocktake.id, equipment_id=keys[one], seen_utc=now) for one in seen
            ]
            session.add_all([*ticks, NotOnRecord(stocktake_id=stocktake.id, text=unknown, seen_utc=now)])


def test_0017_makes_open_stocktakes_one_with_all_that_was_seen_in_them(
    new_target: str, now: datetime, said: list[str]
) -> None:
    before = at_revision(new_target, BEFORE)
    open_two(before, now)
    before.close()
    with upgraded(new_target, now, said) as session:
        [stocktake] = session.scalars(select(Stocktake)).all()
        assert (stocktake.started_on, stocktake.finished_on) == (DAY, None)
        ticked = select(Item.name).join(StocktakeTick, StocktakeTick.equipment_id == Item.id)
        assert sorted(session.scalars(ticked)) == ["Ladder", "Lamp", "Stool"]
        unknown = session.execute(select(NotOnRecord.stocktake_id, NotOnRecord.text)).all()
        assert {tuple(one) for one in unknown} == {(stocktake.id, "a torch"), (stocktake.id, "a lid")}
        assert rows_now(session) == Whole(entries_of_all(session)).rows, "as other laptops make it of the log"


def test_0017_keeps_open_one_of_those_that_came_before_there_was_a_history(
    new_target: str, now: datetime, said: list[str]
) -> None:
    before = at_revision(new_target, "0011")
    with writing(before.engine).begin() as connection:
        for statement in (
            f"INSERT INTO equipment (id, kind, name, name_key) VALUES ('{ITEM}', 'item', 'Lamp', 'lamp')",
            f"INSERT INTO items (id, sort) VALUES ('{ITEM}', 'lamp')",
            f"INSERT INTO stocktakes (id, started_on) VALUES ('{FIRST}', '{DAY}'), ('{SECOND}', '{NEXT_DAY}')",
            f"INSERT INTO stocktake_ticks (id, stocktake_id, equipment_id, seen_utc) "
            f"VALUES ('{TICK}', '{SECOND}', '{ITEM}', '2026-03-02T21:00:00.000000Z')",
        ):
            connection.execute(text(statement))
    before.close()
    with upgraded(new_target, now, said) as session:
        [stocktake] = session.scalars(select(Stocktake)).all()
        assert (str(stocktake.id), stocktake.finished_on) == (FIRST, None)
        assert session.scalars(select(StocktakeTick)).one().stocktake_id == stocktake.id
        assert rows_now(session) == Whole(entries_of_all(session)).rows


def test_0017_ends_what_the_history_does_not_know_on_the_day_on_which_it_began(
    new_target: str, now: datetime, said: list[str]
) -> None:
    before = at_revision(new_target, BEFORE)
    with writing(before.engine).begin() as connection:
        connection.execute(
            text(
                f"INSERT INTO stocktakes (id, started_on) VALUES ('{FIRST}', '{DAY}'), ('{SECOND}', '{NEXT_DAY}')"
            )
        )
    before.close()
    with upgraded(new_target, now, said) as session:
        found = session.execute(select(Stocktake.started_on, Stocktake.finished_on).order_by(Stocktake.id))
        assert [tuple(one) for one in found] == [(DAY, None), (NEXT_DAY, NEXT_DAY)]


def test_0017_leaves_one_that_is_open_and_those_that_are_finished_alone(
    new_target: str, now: datetime, said: list[str]
) -> None:
    before = at_revision(new_target, BEFORE)
    days = [(DAY, NEXT_DAY), (NEXT_DAY, NEXT_DAY), (NEXT_DAY, None)]
    with before.write(now, "start stocktakes") as session:
        session.add_all(Stocktake(started_on=begun, finished_on=ended) for begun, ended in days)
    before.close()
    with upgraded(new_target, now, said) as session:
        found = session.execute(select(Stocktake.started_on, Stocktake.finished_on).order_by(Stocktake.id))
        assert [tuple(one) for one in found] == days


def test_0017_can_be_taken_back(new_target: str, now: datetime, said: list[str]) -> None:
    with upgraded(new_target, now, said):
        pass
    on_database(new_target, command.downgrade, BEFORE)
    engine = make_engine(new_target)
    with writing(engine).begin() as connection:
        for key in (FIRST, SECOND):
            connection.execute(text(f"INSERT INTO stocktakes (id, started_on) VALUES ('{key}', '{DAY}')"))
        assert "stocktake_lines" in inspect(connection).get_table_names()
    engine.dispose()


def test_the_database_itself_keeps_a_second_open_stocktake_out(database: Database, now: datetime) -> None:
    with database.write(now) as session:
        session.add_all([Stocktake(started_on=DAY), Stocktake(started_on=DAY, finished_on=DAY)])
    with pytest.raises(ObslogError, match="ix_stocktakes_open"), database.write(now) as session:
        session.add(Stocktake(started_on=NEXT_DAY))
    with database.write(now) as session:
        session.query(Stocktake).filter(Stocktake.finished_on.is_(None)).one().finished_on = NEXT_DAY
        session.flush()
        session.add(Stocktake(started_on=NEXT_DAY))
    with database.read() as session:
        assert len(session.scalars(select(Stocktake)).all()) == 3


def test_of_two_who_write_one_in_the_same_instant_the_second_waits_and_is_refused(
    postgres_database: Database,
) -> None:
    """Of two programs past which acts do not wait for each other: neither sees what the other has begun."""
    begin = text(f"INSERT INTO stocktakes (id, started_on) VALUES (:id, '{DAY}')")
    with postgres_database.engine.connect() as one, postgres_database.engine.connect() as two:
        one.execute(begin, {"id": FIRST})
        two.execute(text("SET lock_timeout = 50"))
        with pytest.raises(OperationalError, match="lock timeout"):
            two.execute(begin, {"id": SECOND})
        two.rollback()
        one.commit()
        with pytest.raises(IntegrityError, match="ix_stocktakes_open"):
            two.execute(begin, {"id": SECOND})
    with postgres_database.read() as session:
        assert session.scalars(select(Stocktake.started_on)).all() == [DAY]
