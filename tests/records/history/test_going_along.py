"""What the database takes away with a record is noted, and comes back with it."""

from datetime import datetime

from sqlalchemy import func, select

from obslog.club.register.undo import undo
from obslog.records.database import Database
from obslog.records.tables.lending import Reservation
from obslog.records.tables.logbook_tables import Change, Service
from obslog.records.tables.officer import Reminder
from obslog.records.tables.storeroom import MendedSnag, ServiceBill, ServiceTask
from obslog.vocabulary.storeroom import ReminderLevel


def count(database: Database, kind: type) -> int:
    with database.read() as session:
        return session.scalar(select(func.count()).select_from(kind)) or 0


def test_the_parts_of_a_service_go_and_come_with_it(full_database: Database, now: datetime) -> None:
    parts = (Service, ServiceBill, ServiceTask, MendedSnag)
    with full_database.write(now, "strike a service out") as session:
        session.delete(session.scalars(select(Service)).one())
    assert [count(full_database, part) for part in parts] == [0, 0, 0, 0]
    with full_database.read() as session:
        kinds = session.scalars(select(Change.record_kind).where(Change.after.is_(None)).order_by(Change.id))
        noted = list(kinds)
    assert set(noted[1:]) == {part.__name__ for part in parts}
    assert noted[-1] == "Service"  # the last to go is the first to come back
    undo(full_database, now)
    assert [count(full_database, part) for part in parts] == [1, 1, 1, 1]


def test_a_reminder_goes_and_comes_with_the_place_in_the_waiting_list(
    full_database: Database, now: datetime
) -> None:
    with full_database.write(now, "remind") as session:
        place = session.scalars(select(Reservation)).one()
        session.add(Reminder(made_on=now.date(), level=ReminderLevel.NEXT, reservation_id=place.id))
    with full_database.write(now, "strike a place out") as session:
        session.delete(session.scalars(select(Reservation)).one())
    assert (count(full_database, Reservation), count(full_database, Reminder)) == (0, 1)
    undo(full_database, now)
    assert (count(full_database, Reservation), count(full_database, Reminder)) == (1, 2)
