"""Rows go in many at a time; a row that is refused is found without asking for each."""

from uuid import UUID

from sqlalchemy import Connection, event, select

from obslog.club.whole_club.row_loader import LostRows, Row, RowLoader
from obslog.exchange.package.faults import FaultList
from obslog.records.database import Database
from obslog.records.tables.keys import new_keys_as_text
from obslog.records.tables.schema import metadata
from tests.club.whole_club.conftest import NOW

SITES = metadata.tables["sites"]
COLUMNS = ("id", "name", "lat_deg")


def sites(count: int) -> list[tuple[int, Row]]:
    keys = new_keys_as_text(count)
    return [(line, (key, f"Site {line}", 50.0)) for line, key in enumerate(keys, start=2)]


def load(database: Database, rows: list[tuple[int, Row]]) -> tuple[FaultList, LostRows, int]:
    """The faults, what is lost, and how many statements it took."""
    faults, lost, statements = FaultList(), LostRows(), []

    @event.listens_for(database.engine, "before_cursor_execute")
    def count(connection: Connection, _cursor: object, statement: str, *_rest: object) -> None:
        if statement.startswith("INSERT"):
            statements.append(statement)

    with database.write(NOW) as session:
        RowLoader(session, SITES, "sites.csv", COLUMNS).load(rows, faults, lost)
    event.remove(database.engine, "before_cursor_execute", count)
    return faults, lost, len(statements)


def test_sound_rows_are_one_statement(database: Database) -> None:
    faults, _, statements = load(database, sites(1000))
    assert (len(faults), statements) == (0, 1)
    with database.read() as session:
        assert session.scalars(select(SITES.c.name_key).where(SITES.c.name == "Site 2")).all() == ["site 2"]
        assert len(session.scalars(select(SITES.c.id)).all()) == 1000


def test_a_wrong_row_among_a_thousand_is_found_and_the_others_are_in(database: Database) -> None:
    rows = sites(1024)
    line, (key, name, _) = rows[700]
    rows[700] = (line, (key, name, 99.0))
    faults, lost, statements = load(database, rows)
    assert [(fault.file, fault.line) for fault in faults] == [("sites.csv", line)]
    assert statements <= 1 + 2 * 10  # a thousand is halved ten times
    assert lost.may_hold("nights", key)
    assert not lost.may_hold("nights", rows[699][1][0])
    with database.read() as session:
        assert len(session.scalars(select(SITES.c.id)).all()) == 1023


def test_the_later_of_two_alike_is_to_blame(database: Database) -> None:
    rows = sites(64)
    line, (key, _, lat) = rows[50]
    rows[50] = (line, (key, "SITE 2", lat))
    faults, _, _ = load(database, rows)
    assert [(fault.line, fault.column) for fault in faults] == [(line, "name")]


def test_what_refers_to_its_own_sheet_may_stand_before_what_it_refers_to(club: Database) -> None:
    loans = metadata.tables["loans"]
    columns = ("id", "member_id", "out_on", "due_on", "equipment_id", "back_on", "handed_over_from_id")
    first, second = new_keys_as_text(2)
    with club.write(NOW) as session:
        member = str(session.scalars(select(metadata.tables["members"].c.id)).first())
        item = str(session.scalars(select(metadata.tables["equipment"].c.id)).first())
        day = NOW.date()
        loader, faults, lost = RowLoader(session, loans, "loans.csv", columns), FaultList(), LostRows()
        rows: list[tuple[int, Row]] = [
            (2, (first, member, day, day, item, None, second)),
            (3, (second, member, day, day, item, day, None)),
        ]
        loader.load(rows, faults, lost)
        loader.tie(faults, lost)
    with club.read() as session:
        query = select(loans.c.id, loans.c.handed_over_from_id)
        tied = {row.id: row.handed_over_from_id for row in session.execute(query)}
    assert len(faults) == 0
    assert tied == {UUID(first): UUID(second), UUID(second): None}


def test_a_lost_sheet_may_hold_any_key() -> None:
    lost = LostRows()
    lost.add_sheet("sites")
    assert lost.may_hold("sites", "anything")
    assert not lost.may_hold("mounts", "anything")
