"""Revision 0013, from a database of the one before: valuations, receipts, what was not found, and calls."""

from datetime import date, datetime

from alembic import command
from sqlalchemy import inspect, text

from obslog.records.engine import make_engine
from obslog.records.opening import open_database
from obslog.records.tables.storeroom import Paper, Receipt
from tests.records.developers import fill_at_revision, on_database

KEY = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
BEFORE = "0011"
AT_BEFORE = (
    f"INSERT INTO equipment (id, kind, name, name_key) VALUES ('{KEY}', 'item', 'Lamp', 'lamp')",
    f"INSERT INTO items (id, sort) VALUES ('{KEY}', 'lamp')",
    f"INSERT INTO papers (id, equipment_id, tag, value) VALUES ('{KEY}', '{KEY}', 'A-1', 40)",
)


def test_0013_keeps_values_and_knows_not_when_they_were_set(
    new_target: str, now: datetime, said: list[str]
) -> None:
    fill_at_revision(new_target, BEFORE, AT_BEFORE)
    database = open_database(new_target, now, said.append)
    with database.write(now) as session:
        paper = session.query(Paper).one()
        assert (paper.tag, paper.value, paper.valued_on, paper.valued_by) == ("A-1", 40, None, None)
        paper.valued_on, paper.valued_by = date(2026, 3, 1), "Ines"
        session.add(Receipt(equipment_id=paper.equipment_id, file_name="lamp.pdf", sha256="0" * 64))
    database.close()
    on_database(new_target, command.downgrade, BEFORE)
    engine = make_engine(new_target)
    with engine.connect() as connection:
        assert connection.execute(text("SELECT tag, value FROM papers")).all() == [("A-1", 40)]
        assert not {"receipts", "calls", "stocktake_not_found"} & set(inspect(connection).get_table_names())
    engine.dispose()
