"""What the history says of records that come back, whichever joining took them away."""

from datetime import datetime

from sqlalchemy import update
from sqlalchemy.orm import Session

from obslog.club.register.named_records import add, edit
from obslog.club.together.sameness import make_same
from obslog.records.database import Database
from obslog.records.tables.base import name_key
from obslog.records.tables.logbook_tables import Equipment, Item
from obslog.records.undoing.as_said import (
    LONGEST_OF_APART,
    as_said,
    joined_among,
    may_stand_otherwise,
    told_apart,
)


def key_of_item(session: Session, name: str) -> str:
    return str(session.query(Item.id).where(Item.name == name).scalar())


def test_who_is_told_apart_has_a_name_of_its_own_and_no_tag() -> None:
    long = "x" * (LONGEST_OF_APART + 9)
    apart = told_apart({"id": "a key", "name": long, "name_key": long, "tag": "T 9", "note": "green"})
    name = f"{long[:LONGEST_OF_APART]} (a key)"
    assert apart == {"id": "a key", "name": name, "name_key": name_key(name), "tag": None, "note": "green"}
    assert told_apart({"id": "a key", "note": "green"}) == {"id": "a key", "note": "green"}


def test_who_was_joined_to_another_is_what_was_last_written_of_them(club: Database, now: datetime) -> None:
    for name in ("Lamp", "Lantern"):
        add(club, "item", name, {"note": "green"}, now)
    edit(club, "item", "Lantern", {"note": "blue"}, now)
    with club.read() as session:
        lamp, lantern = key_of_item(session, "Lamp"), key_of_item(session, "Lantern")
        assert not joined_among(session, [lamp, lantern])
    make_same(club, "Lamp", "Lantern", now)
    with club.read() as session:
        assert joined_among(session, [lamp, lantern]) == {lantern}
        assert as_said(session, "Item", lantern)["note"] == "blue"
        assert may_stand_otherwise(session, lantern)
        assert not may_stand_otherwise(session, lamp)


def test_what_was_written_past_the_history_is_not_said(club: Database, now: datetime) -> None:
    add(club, "item", "Lamp", {"note": "green"}, now)
    edit(club, "item", "Lamp", {"note": "blue"}, now)
    with club.write(now) as session:
        session.execute(update(Equipment).where(Equipment.name == "Lamp").values(note="by hand"))
    with club.read() as session:
        lamp = key_of_item(session, "Lamp")
        assert as_said(session, "Item", lamp)["note"] == "blue"
        assert not may_stand_otherwise(session, lamp)
