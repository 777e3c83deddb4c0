"""An act that makes room lets in at once what waited for it."""

from collections.abc import Callable
from typing import Any

from sqlalchemy import event, select
from sqlalchemy.orm import Session

from obslog.records.tables.lending import Absence
from obslog.records.tables.logbook_tables import Item
from tests.records.merging.laptops import BEGUN, Laptop


def go_missing(session: Session) -> None:
    session.add(
        Absence(
            equipment_id=session.scalars(select(Item.id).where(Item.name == "Case")).one(), since=BEGUN.date()
        )
    )


def test_what_waited_comes_in_with_the_act_that_makes_room(
    some_laptops: Callable[[int], list[Laptop]],
) -> None:
    one, two = some_laptops(2)
    for laptop in (one, two):
        laptop.do(go_missing)
    one.take_from(two)

    def be_found(session: Session) -> None:
        session.scalars(select(Absence).where(Absence.found_on.is_(None))).one().found_on = BEGUN.date()

    assert len([key for key in one.rows() if key[0] == "Absence"]) == 1
    one.do(be_found)
    assert sorted(str(row["found_on"]) for key, row in one.rows().items() if key[0] == "Absence") == [
        "2026-03-02",
        "None",
    ]
    assert one.asides() == set()


def test_who_works_alone_pays_one_query(some_laptops: Callable[[int], list[Laptop]]) -> None:
    (one,) = some_laptops(1)
    asked: list[str] = []

    def listen(*told: Any) -> None:
        asked.append(told[2])

    event.listen(one.database.engine, "before_cursor_execute", listen)
    one.do(go_missing)
    event.remove(one.database.engine, "before_cursor_execute", listen)
    assert [
        statement for statement in asked if "record_obstacles" in statement or "parked_records" in statement
    ] == [statement for statement in asked if "FROM record_obstacles" in statement]
    assert len([statement for statement in asked if "record_obstacles" in statement]) == 1
