"""Who is named in a part of the log: by sentences, authors and texts, by any name that they ever had."""

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.exchange.bundles.entries import ActEntry, BatchEntry, ChangeEntry, Entry
from obslog.records.bundles.people_named import people_named
from obslog.records.history.noted_rows import insert_noted
from obslog.records.tables.base import name_key
from obslog.records.tables.keys import new_key
from obslog.records.tables.logbook_tables import Member
from tests.records.merging.laptops import Laptop

AT = datetime(2026, 3, 2, 20, 0, tzinfo=UTC)
ACT, NIGHT = (f"019d0000-0000-7000-8000-00000000000{number}" for number in (1, 2))
NAME, EARLIER = "Zora Kettlewell", "Zora Amberley"


def act(sentence: str, who: str | None = None) -> ActEntry:
    return ActEntry(id=ACT, at_utc=AT, sentence=sentence, who=who)


def noted(image: dict[str, Any]) -> ChangeEntry:
    return ChangeEntry(
        id=NIGHT, act_id=ACT, record_kind="Night", record_id=NIGHT, before=None, after=image | {"id": NIGHT}
    )


def batch(note: str) -> BatchEntry:
    return BatchEntry(
        id=NIGHT, act_id=ACT, record_kind="Night", what="added", columns=("id", "note"), ids=[NIGHT],
        rows=[[NIGHT, note]],
    )  # fmt: skip


@pytest.fixture
def laptop(some_laptops: Callable[[int], list[Laptop]]) -> Laptop:
    """One that knows Ines and Bram, and a member of two names."""
    (one,) = some_laptops(1)
    one.do(lambda session: session.add(Member(name=EARLIER, name_key=name_key(EARLIER))))

    def rename(session: Session) -> None:
        member = session.scalars(select(Member).where(Member.name == EARLIER)).one()
        member.name, member.name_key = NAME, name_key(NAME)

    one.do(rename)
    return one


@pytest.mark.parametrize(
    ("entry", "named"),
    [
        (act("edit member Zora Kettlewell"), True),
        (act("edit mount Heron", who=NAME), True),
        (act("edit mount Heron", who="zor"), True),
        (noted({"note": "zora  AMBERLEY had the key"}), True),
        (batch("Zora Amberley had the key"), True),
        (act("edit mount Heron"), False),
        (noted({"note": "Zora had the key", "night_of": "2026-03-02"}), False),
        (act("add item Kettlewells"), False),
    ],
)
def test_a_member_is_named_by_a_whole_name_or_as_author_by_its_beginning(
    laptop: Laptop, entry: Entry, named: bool
) -> None:
    with laptop.database.read() as session:
        key = str(session.scalars(select(Member.id).where(Member.name == NAME)).one())
        assert people_named(session, [entry]) == ({key} if named else set())


def test_who_came_with_many_and_is_gone_is_known_by_name_still(laptop: Laptop) -> None:
    keys = [new_key() for _ in range(40)]
    people = [{"id": key, "name": f"Guest {n}", "name_key": f"guest {n}"} for n, key in enumerate(keys)]
    laptop.do(lambda session: insert_noted(session, Member, people))
    laptop.do(lambda session: session.delete(session.get_one(Member, keys[7])))
    with laptop.database.read() as session:
        assert people_named(session, [act("lend Lamp to Guest 7")]) == {str(keys[7])}


def test_nobody_is_named_where_nothing_is_told(laptop: Laptop) -> None:
    with laptop.database.read() as session:
        assert people_named(session, []) == set()
