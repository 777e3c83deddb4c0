"""Who set a mount up."""

from datetime import date

from sqlalchemy import select

from obslog.club.pages.setters import set_up_by
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Mount
from tests.club.performance.histories import Evening, put_on_record


def test_who_did_so_most_comes_first_and_nobody_is_not_somebody(club: Database) -> None:
    put_on_record(
        club,
        [
            Evening(date(2026, 1, 5), [4.0], observer="Ines"),
            Evening(date(2026, 1, 6), [4.0], observer="Bram Ostler"),
            Evening(date(2026, 1, 9), [4.0], observer="Bram Ostler"),
            Evening(date(2026, 1, 8), [4.0], observer=""),
            Evening(date(2026, 1, 7), [4.0], observer="Ines", mount="Bracken"),
        ],
    )
    with club.read() as session:
        heron = session.scalars(select(Mount).where(Mount.name == "Heron")).one()
        found = {one.member: (one.setups, one.last) for one in set_up_by(session, heron)}
    assert next(iter(found)) == "Bram Ostler"
    assert found == {
        "Bram Ostler": (2, date(2026, 1, 9)),
        "Ines": (1, date(2026, 1, 5)),
        None: (1, date(2026, 1, 8)),
    }
