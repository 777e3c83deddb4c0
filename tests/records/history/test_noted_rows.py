"""Many new records go in at once, and one undo takes all of them back; redo brings them again."""

from datetime import date, datetime
from typing import Any

from sqlalchemy import select

from obslog.club.register import named_records
from obslog.records.database import Database
from obslog.records.history.noted_rows import insert_noted
from obslog.records.tables.base import Base, name_key
from obslog.records.tables.equipment import Mount, Service
from obslog.records.tables.keys import new_key
from obslog.records.tables.storeroom import Paper
from obslog.records.undoing.undoing import redo_next, undo_last
from obslog.vocabulary.mounts import MountType
from obslog.vocabulary.storeroom import Acquired


def mount_of(name: str) -> dict[str, Any]:
    return {
        "id": new_key(),
        "name": name,
        "name_key": name_key(name),
        "note": None,
        "mount_type": MountType.FORK,
        "refraction": False,
    }


def put(database: Database, now: datetime) -> None:
    mounts = [mount_of("Wren"), mount_of("Teal")]
    papers = [
        {
            "id": new_key(),
            "equipment_id": m["id"],
            "acquired": Acquired.GIFT,
            "acquired_on": date(2019, 5, 12),
            "cost": 8.5,
        }
        for m in mounts
    ]
    service = {
        "id": new_key(),
        "equipment_id": mounts[0]["id"],
        "done_on": date(2020, 1, 1),
        "text": "New Grease",
        "mechanical": True,
    }
    kinds: list[tuple[type[Base], list[dict[str, Any]]]] = [
        (Mount, mounts),
        (Paper, papers),
        (Service, [service]),
    ]
    with database.write(now, "import items club.csv") as session:
        for kind, records in kinds:
            insert_noted(session, kind, records)


def stored(database: Database) -> list[Any]:
    with database.read() as session:
        mounts = [
            (m.name, m.mount_type, m.controller) for m in session.scalars(select(Mount).order_by(Mount.name))
        ]
        papers = [(p.acquired, p.acquired_on, p.cost, p.tag) for p in session.scalars(select(Paper))]
        services = [(s.text, s.mechanical, s.search_text) for s in session.scalars(select(Service))]
    return [mounts, papers, services]


EXPECTED = [
    [("Teal", MountType.FORK, None), ("Wren", MountType.FORK, None)],
    [(Acquired.GIFT, date(2019, 5, 12), 8.5, None)] * 2,
    [("New Grease", True, "new grease")],
]


def test_they_are_records_like_any_others(database: Database, now: datetime) -> None:
    put(database, now)
    assert stored(database) == EXPECTED
    named_records.edit(database, "mount", "Wren", {"mount_type": MountType.ALTAZ}, now)
    assert named_records.shown(database, "mount", "Wren")["mount_type"] == MountType.ALTAZ


def test_one_undo_takes_all_of_them_back_and_redo_brings_them_again(
    database: Database, now: datetime
) -> None:
    put(database, now)
    with database.write(now) as session:
        assert undo_last(session, now) == "import items club.csv"
    assert stored(database) == [[], [], []]
    with database.write(now) as session:
        redo_next(session, now)
    assert stored(database) == EXPECTED


def test_nothing_to_insert_is_no_act(database: Database, now: datetime) -> None:
    named_records.add(database, "member", "Ines", {}, now)
    with database.write(now, "nothing") as session:
        insert_noted(session, Mount, [])
    with database.write(now) as session:
        assert undo_last(session, now) == "add member Ines"
