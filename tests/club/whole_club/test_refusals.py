"""What either database says against a row becomes the same words."""

from collections.abc import Mapping
from datetime import date
from typing import Any
from uuid import UUID

import pytest
from sqlalchemy import Table, insert, select
from sqlalchemy.exc import IntegrityError

from obslog.club.shelves.counting import start
from obslog.club.whole_club.refusals import loose_reference, refusal_of
from obslog.records.database import Database
from obslog.records.tables.keys import new_key
from obslog.records.tables.schema import metadata
from tests.club.whole_club.conftest import NOW, fill_odd_club

NOWHERE = UUID("0190a6e5-0000-7000-8000-0000000000ff")
SITE: dict[str, Any] = {"name": "Dune", "name_key": "dune"}


def refused(database: Database, table: Table, row: Mapping[str, Any]) -> tuple[str, str]:
    """The column and the reason."""
    with database.write(NOW) as session:
        with pytest.raises(IntegrityError) as error, session.begin_nested():
            session.execute(insert(table), {"id": new_key(), **row})
        told = refusal_of(error.value, table)
        assert told.remedy.endswith(".")
        return told.column, told.reason


@pytest.mark.parametrize(
    ("table", "row", "column", "reason"),
    [
        ("sites", {**SITE, "lat_deg": 91.0}, "", "breaks the rule: lat_deg BETWEEN -90 AND 90."),
        (
            "sites",
            {**SITE, "name_key": "mill field"},
            "name",
            "another row has the same name; capitals and spaces do not make another name.",
        ),
        (
            "equipment",
            {"kind": "mount", "name": "HERON", "name_key": "heron"},
            "",
            "another row has the same kind and name; capitals and spaces do not make another name.",
        ),
    ],
)
def test_a_rule_of_the_database_is_told_in_words(
    table: str, row: dict[str, Any], column: str, reason: str, club: Database
) -> None:
    assert refused(club, metadata.tables[table], row) == (column, reason)


def test_two_that_may_not_be_open_at_once_are_told_of(club: Database) -> None:
    fill_odd_club(club)
    loans = metadata.tables["loans"]
    with club.read() as session:
        out = session.execute(select(loans).where(loans.c.back_on.is_(None))).mappings().one()
    day = date(2026, 2, 1)
    row = {"member_id": out["member_id"], "equipment_id": out["equipment_id"], "out_on": day, "due_on": day}
    assert refused(club, loans, row) == (
        "equipment_id",
        "another row has the same equipment_id where back_on is blank.",
    )


def test_a_second_stocktake_that_is_open_is_told_of(club: Database) -> None:
    start(club, NOW)
    assert refused(club, metadata.tables["stocktakes"], {"started_on": date(2026, 2, 1)}) == (
        "",
        "another row stands already where finished_on is blank.",
    )


def test_the_column_that_refers_to_nothing_is_named(club: Database) -> None:
    nights, loans = metadata.tables["nights"], metadata.tables["loans"]
    with club.read() as session:
        connection = session.connection()
        site = session.scalar(select(metadata.tables["sites"].c.id))
        assert loose_reference(connection, nights, {"site_id": str(site)}) is None
        assert loose_reference(connection, nights, {"site_id": None}) is None
        told = loose_reference(connection, nights, {"site_id": str(NOWHERE)})
        assert told is not None
        assert (told.column, told.table, told.key) == ("site_id", "sites", str(NOWHERE))
        assert told.remedy == "Put that row back."
        blank = loose_reference(connection, loans, {"kit_id": str(NOWHERE)})
        assert blank is not None
        assert blank.remedy == "Put that row back, or leave this cell blank."
