"""An act tells who wrote it, and on which machine."""

from datetime import datetime
from uuid import UUID

from sqlalchemy import select

from obslog.club.register.named_records import add
from obslog.club.register.undo import undo
from obslog.records.database import Database
from obslog.records.history.author import NOBODY, Author
from obslog.records.opening import open_database
from obslog.records.tables.logbook_tables import Act

ORIGIN = UUID("018f22e2-79b0-7cc3-98c4-dc0c0c07398f")


def test_who_writes_is_asked_at_each_act(new_target: str, now: datetime) -> None:
    authors = iter([Author("Ines", ORIGIN), Author("Bram"), Author(None, ORIGIN)])
    database = open_database(new_target, now, lambda _: None, author=lambda: next(authors))
    add(database, "member", "Cleo", {}, now)
    add(database, "member", "Dov", {}, now)
    undo(database, now)
    with database.read() as session:
        found = [(act.who, act.origin) for act in session.scalars(select(Act).order_by(Act.id))]
    assert found == [("Ines", ORIGIN), ("Bram", None), (None, ORIGIN)]
    database.close()


def test_where_nobody_is_handed_in_nobody_is_told(database: Database, now: datetime) -> None:
    assert database.author == NOBODY
    add(database, "member", "Cleo", {}, now)
    with database.read() as session:
        act = session.scalars(select(Act)).one()
        assert (act.who, act.origin) == (None, None)
