"""A transaction is whole or not at all, and one look is one session."""

from datetime import datetime

import pytest

from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Member, Night, Site


def test_a_failed_transaction_leaves_nothing(club: Database, now: datetime) -> None:
    def add_and_fail() -> None:
        with club.write(now, "add a member") as session:
            session.add(Member(name="Cleo Marsh", name_key="cleo marsh"))
            session.flush()
            session.add(Night(site_id=session.query(Site.id).limit(1).scalar_subquery(), night_of=now.date()))
            raise KeyError("the program broke")

    with pytest.raises(KeyError):
        add_and_fail()
    with club.read() as session:
        assert sorted(session.query(Member.name).all()) == [("Bram Ostler",), ("Ines",)]
        assert session.query(Night).count() == 0


def test_one_look_is_one_session_for_all_who_read(database: Database) -> None:
    with database.one_look() as look, look.read() as first, look.read() as second, look.one_look() as again:
        assert first is second
        assert again is look
        assert look.where == database.where
