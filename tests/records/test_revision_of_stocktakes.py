"""Revision 0016, from a database of the one before: what a stocktake found of items, and of parts without a tag."""

from datetime import datetime

from alembic import command
from sqlalchemy import inspect, text

from obslog.records.engine import make_engine
from obslog.records.opening import open_database
from obslog.records.tables.logbook_tables import Equipment
from obslog.records.tables.officer import NotFound, Stocktake, StocktakeLine
from obslog.vocabulary.storeroom import Found
from tests.records.developers import fill_at_revision, on_database

KEY = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
BEFORE = "0015"
AT_BEFORE = (
    f"INSERT INTO equipment (id, kind, name, name_key) VALUES ('{KEY}', 'item', 'Lamp', 'lamp')",
    f"INSERT INTO items (id, sort) VALUES ('{KEY}', 'lamp')",
    f"INSERT INTO stocktakes (id, started_on, finished_on, expected, not_found) "
    f"VALUES ('{KEY}', '2026-02-01', '2026-02-02', 1, 1)",
    f"INSERT INTO stocktake_not_found (id, stocktake_id, equipment_id) VALUES ('{KEY}', '{KEY}', '{KEY}')",
)


def test_0016_keeps_stocktakes_and_what_they_did_not_find(
    new_target: str, now: datetime, said: list[str]
) -> None:
    fill_at_revision(new_target, BEFORE, AT_BEFORE)
    database = open_database(new_target, now, said.append)
    with database.write(now) as session:
        stocktake, lamp = session.query(Stocktake).one(), session.query(Equipment).one()
        assert (stocktake.expected, stocktake.not_found) == (1, 1)
        assert session.query(NotFound).one().equipment_id == lamp.id
        session.add(
            StocktakeLine(
                stocktake_id=stocktake.id,
                found=Found.NOT_SEEN,
                status="in",
                name="Lamp",
                equipment_id=lamp.id,
            )
        )
    database.close()
    on_database(new_target, command.downgrade, BEFORE)
    engine = make_engine(new_target)
    with engine.connect() as connection:
        assert connection.execute(text("SELECT expected, not_found FROM stocktakes")).all() == [(1, 1)]
        there = set(inspect(connection).get_table_names())
        assert not {"stocktake_lines", "stocktake_parts"} & there
        assert "stocktake_not_found" in there
    engine.dispose()
