"""A part of the log: what is new."""

from collections.abc import Callable
from datetime import timedelta

from obslog.exchange.bundles.entries import ActEntry, ChangeEntry
from obslog.records.bundles.choosing import all_acts, choose_since, choose_untold, mark_told
from obslog.records.bundles.telling import tell
from obslog.records.tables.logbook_tables import Item
from tests.records.merging.laptops import BEGUN, Laptop

Make = Callable[[int], list[Laptop]]


def test_what_is_new_since_a_day_or_not_told_yet(some_laptops: Make) -> None:
    (one,) = some_laptops(1)
    with one.database.write(BEGUN) as session:
        assert len(choose_untold(session, with_private=False).acts or ()) == 1  # that by which the club began
        mark_told(session, all_acts(session))
    one.now = BEGUN + timedelta(days=2)
    one.do(lambda session: session.add(Item(name="Lens", name_key="lens")), "add item Lens")
    with one.database.read() as session:
        since = choose_since(session, one.now.date(), with_private=False)
        untold = choose_untold(session, with_private=False)
        entries = list(tell(session, untold))
    assert since == untold
    assert [entry.sentence for entry in entries if isinstance(entry, ActEntry)] == ["add item Lens"]
    assert [entry.record_kind for entry in entries if isinstance(entry, ChangeEntry)] == ["Item"]


def test_an_undoing_brings_along_the_act_that_it_takes_back(some_laptops: Make) -> None:
    from obslog.club.register.undo import undo

    (one,) = some_laptops(1)
    one.do(lambda session: session.add(Item(name="Lens", name_key="lens")), "add item Lens")
    with one.database.write(BEGUN) as session:
        mark_told(session, all_acts(session))
    undo(one.database, one.now)
    with one.database.read() as session:
        entries = list(tell(session, choose_untold(session, with_private=False)))
    assert [entry.sentence for entry in entries if isinstance(entry, ActEntry)] == [
        "add item Lens",
        "undo: add item Lens",
    ]
    assert len([entry for entry in entries if isinstance(entry, ChangeEntry)]) == 1
