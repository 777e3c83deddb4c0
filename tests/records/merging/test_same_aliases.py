"""Which record stands for which, by the rows that say so."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest
from sqlalchemy import insert, select
from sqlalchemy.orm import Session

from obslog.club.absences import note_found, note_missing
from obslog.club.storeroom.kits import leave_kit
from obslog.club.storeroom.waiting_list import serve
from obslog.club.together.moving import make_one
from obslog.records.database import Database
from obslog.records.merging.kinds import kinds
from obslog.records.merging.same_aliases import changed_names, keep_as_one, read_aliases
from obslog.records.merging.standing import Why
from obslog.records.tables.kept import record_obstacles
from obslog.records.tables.keys import new_key
from obslog.records.tables.lending import Absence, Kit, KitPart, Reservation
from obslog.records.tables.logbook import Act, SameRecord
from obslog.records.tables.logbook_tables import Item, Member
from tests.records.merging.laptops import BEGUN, Laptop
from tests.records.merging.whole_log import Key


def test_the_joins_say_who_stands_and_by_which_act(database: Database) -> None:
    gone, kept, other = (new_key() for _ in range(3))
    with database.read() as session:
        before = read_aliases(session)
    with database.write(BEGUN, "join") as session:
        session.add(SameRecord(record_kind="Member", gone_id=gone, kept_id=kept))
    with database.read() as session:
        after = read_aliases(session)
        (act,) = [str(key) for key in session.scalars(Act.__table__.select().with_only_columns(Act.id))]
        assert after.joining_acts(session, str(gone)) == {act}
        assert after.joining_acts(session, str(other)) == ()
    assert after.stands_for(str(gone)) == str(kept)
    assert after.stands_for(str(other)) == str(other)
    assert changed_names(before, after) == {str(gone)}
    assert changed_names(after, after) == set()


def test_what_is_one_as_long_as_both_are_open_is_one_for_good_where_that_is_said(database: Database) -> None:
    gone, kept, other, night = (new_key() for _ in range(4))
    same = [
        {"id": new_key(), "record_kind": kind, "record_id": one, "why": "same", "against_id": stands}
        for kind, one, stands in (
            ("Stocktake", gone, kept),
            ("Stocktake", night, other),
            ("Night", night, kept),
        )
    ]
    with database.write(BEGUN, "finish") as session:
        session.execute(insert(record_obstacles), same)
        keep_as_one(session, "Stocktake", kept)
        session.flush()
        said = session.execute(select(SameRecord.record_kind, SameRecord.gone_id, SameRecord.kept_id)).all()
        session.execute(record_obstacles.delete())
    assert [tuple(one) for one in said] == [("Stocktake", gone, kept)]


@dataclass(frozen=True)
class Said:
    """What somebody says of an item, and how it ends again."""

    kind: type[Any]
    say: Callable[[Session, Item], None]
    end: Callable[[Session, Item], None]
    ended: str


def _first(session: Session, kind: type[Any]) -> Any:
    return session.scalars(select(kind).order_by(kind.id)).first()


def _be_put_into_the_kit(session: Session, item: Item) -> None:
    session.add(
        KitPart(kit_id=_first(session, Kit).id, equipment_id=item.id, label=item.name, joined_on=BEGUN.date())
    )


def _be_asked_for(session: Session, item: Item) -> None:
    session.add(Reservation(member_id=_first(session, Member).id, asked_utc=BEGUN, equipment_id=item.id))


def _leave_the_kit(session: Session, _item: Item) -> None:
    part = session.scalars(select(KitPart).where(KitPart.left_on.is_(None))).one()
    leave_kit(session, part, BEGUN.date(), None)


SAID = [
    Said(
        Absence,
        lambda session, item: note_missing(session, item, BEGUN.date()),
        lambda session, item: note_found(session, item, BEGUN.date()),
        "found_on",
    ),
    Said(
        Reservation,
        _be_asked_for,
        lambda session, item: serve(session, item, _first(session, Member), BEGUN.date()),
        "closed_on",
    ),
    Said(KitPart, _be_put_into_the_kit, _leave_the_kit, "left_on"),
]


@pytest.mark.parametrize("two_first", [False, True])
@pytest.mark.parametrize("said", SAID, ids=lambda said: said.kind.__name__)
def test_what_came_under_the_name_that_an_item_had_before_it_was_joined_ends_with_the_rest(
    some_laptops: Callable[[int], list[Laptop]], said: Said, two_first: bool
) -> None:
    """One says it of Case, which Lamp is too; two says it of Lamp, and does not know yet."""
    one, two = some_laptops(2)

    def do(laptop: Laptop, what: Callable[[Session, Item], None], name: str) -> None:
        laptop.do(lambda session: what(session, session.scalars(select(Item).where(Item.name == name)).one()))

    def join(session: Session) -> None:
        case, lamp = session.scalars(select(Item).order_by(Item.name))
        make_one(session, kinds()["Item"], case, lamp, Counter())

    def open_now(laptop: Laptop) -> list[Key]:
        return [
            key
            for key, row in laptop.rows().items()
            if key[0] == said.kind.__name__ and row[said.ended] is None
        ]

    both = [(one, "Case"), (two, "Lamp")]
    for laptop, name in reversed(both) if two_first else both:
        do(laptop, said.say, name)
    one.do(join)
    one.take_from(two)
    assert len(open_now(one)) == 1
    assert Why.TAKEN in {aside.why for _kind, _key, aside in one.asides()}
    do(one, said.end, "Case")
    assert open_now(one) == []
    two.take_from(one)
    assert open_now(two) == []
    assert two.rows() == one.rows()
    assert Why.TAKEN not in {aside.why for _kind, _key, aside in one.asides() | two.asides()}
