"""All that is in the log of some records."""

from collections.abc import Callable

from sqlalchemy import select

from obslog.club.register.undo import redo, undo
from obslog.records.bundles.whole_records import all_of, with_undone
from obslog.records.tables.logbook import Act
from obslog.records.tables.logbook_tables import Item
from tests.records.merging.laptops import Laptop

Make = Callable[[int], list[Laptop]]


def acts(laptop: Laptop) -> dict[str, str]:
    with laptop.database.read() as session:
        return {act.sentence: str(act.id) for act in session.scalars(select(Act).order_by(Act.id))}


def test_an_undoing_of_an_undoing_comes_with_both_that_went_before(some_laptops: Make) -> None:
    (one,) = some_laptops(1)
    one.do(lambda session: session.add(Item(name="Lens", name_key="lens")), "add item Lens")
    undo(one.database, one.now)
    redo(one.database, one.now)
    *_, added, undone, redone = acts(one).values()
    with one.database.read() as session:
        assert with_undone(session, {redone}) == {added, undone, redone}
        assert with_undone(session, {undone}) == {added, undone}


def test_of_a_record_each_act_comes_and_none_that_is_of_others_alone(some_laptops: Make) -> None:
    (one,) = some_laptops(1)
    one.do(lambda session: session.add(Item(name="Lens", name_key="lens")), "add item Lens")
    one.do(lambda session: session.add(Item(name="Cap", name_key="cap")), "add item Cap")
    undo(one.database, one.now)
    one.do(
        lambda session: setattr(
            session.scalars(select(Item).where(Item.name == "Lens")).one(), "note", "dusty"
        ),
        "edit",
    )
    with one.database.read() as session:
        lens = session.scalars(select(Item.id).where(Item.name == "Lens")).one()
        choice = all_of(session, {("Item", str(lens))}, with_private=False)
    told = acts(one)
    assert set(choice.acts or ()) == {told["add item Lens"], told["edit"]}
    assert len(choice.changes or ()) == 2
