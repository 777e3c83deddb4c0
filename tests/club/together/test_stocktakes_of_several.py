"""Stocktakes begun on several laptops are one as soon as they meet: in any order, with all ticks, finished once."""

import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import datetime, timedelta
from itertools import permutations
from pathlib import Path

import pytest
from sqlalchemy import select

from obslog.club.register.undo import undo
from obslog.club.shelves.counting import NoStocktake, refuse_if_none_open, saw, start
from obslog.club.shelves.finishing import finish, what_would_change
from obslog.club.shelves.standing import past_counts, standing
from obslog.club.storeroom.kits import add_kit
from obslog.club.together.contradictions import list_conflicts
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.records.tables.logbook import Act
from obslog.records.tables.officer import Stocktake
from obslog.vocabulary.storeroom import Found
from tests.club.together.conftest import Give, rows

MINUTE = timedelta(minutes=1)
KIT = "Evening kit"
SAW = {
    "Ines": ("Heron", "Thistle", "a torch"),
    "Bram Ostler": ("Wide 25", "Heron", "a torch"),
    None: ("Long tube", "a lamp"),
}
Laptops = Callable[[], list[Database]]


@pytest.fixture
def three(club_file: Path, tmp_path: Path, now: datetime) -> Iterator[Laptops]:
    """Makes three laptops of the club, each with a stocktake that it has begun itself, and ticks in it."""
    template = tmp_path / "counted"
    template.mkdir()
    files = [Path(shutil.copy(club_file, template / "0.db"))]
    database = Database(make_engine(str(files[0])), str(files[0]))
    add_kit(database, KIT, ["dew cap"], now)
    database.close()
    files += [Path(shutil.copy(files[0], template / f"{number}.db")) for number in (1, 2)]
    for number, (path, (member, seen)) in enumerate(zip(files, SAW.items(), strict=True)):
        database = Database(make_engine(str(path)), str(path))
        at = now + number * MINUTE
        start(database, at, member)
        for text in seen:
            saw(database, text, at, place=f"shelf {number}")
        if number:
            saw(database, KIT, at, without=["dew cap"] if number == 1 else [])
        database.close()
    with ExitStack() as opened:
        copies = 0

        def fresh() -> list[Database]:
            nonlocal copies
            copies += 1
            found = []
            for number, path in enumerate(files):
                copy = Path(shutil.copy(path, tmp_path / f"{copies}-{number}.db"))
                found.append(Database(make_engine(str(copy)), str(copy)))
                opened.callback(found[-1].close)
            return found

        yield fresh


def seen_in(database: Database) -> dict[str, str | None]:
    return {item.name: item.seen_at for item in standing(database).items if item.found is Found.ELSEWHERE}


def test_in_whatever_order_they_meet_they_are_one_with_the_ticks_of_all(three: Laptops, give: Give) -> None:
    met = []
    for order in permutations(range(3)):
        laptops = three()
        first, second, third = (laptops[number] for number in order)
        give(second, first)
        give(third, second)
        give(second, first)
        give(first, first)  # one's own changes nothing
        give(second, first)
        give(first, third)
        give(first, second)
        assert rows(first) == rows(second) == rows(third)
        met.append((rows(first), seen_in(first)))
    assert all(one == met[0] for one in met)
    _, seen = met[0]
    assert seen == {"Heron": "shelf 1", "Thistle": "shelf 0", "Wide 25": "shelf 1", "Long tube": "shelf 2"}


def test_merging_says_so_and_asks_nobody_to_settle_what_is_no_conflict(three: Laptops, give: Give) -> None:
    one, two, _ = three()
    merged = give(two, one)
    assert merged.joined == [
        "The stocktake from 2026-03-02 was begun on another laptop too, and is one with all that was ticked."
    ]
    assert merged.to_settle == []
    # Where each saw Heron is not the same; the later word stands, and the other can be chosen.
    assert [(conflict.field, conflict.lost.value) for conflict in list_conflicts(one).fields] == [
        ("found_place", "shelf 0")
    ]


def test_who_began_first_counts_and_each_beginning_stays_in_the_history(three: Laptops, give: Give) -> None:
    one, two, three_ = three()
    give(two, three_)
    give(one, three_)
    now = standing(three_)
    assert (now.member, now.finished_on) == ("Ines", None)
    assert [(line.text, line.seen_at) for line in now.not_on_record] == [
        ("a torch", "shelf 0"),
        ("a torch", "shelf 1"),
        ("a lamp", "shelf 2"),
    ]
    assert [(part.part, part.found) for part in now.parts] == [("dew cap", Found.SEEN)]  # the last who looked
    with three_.read() as session:
        begun = session.scalars(select(Act.sentence).where(Act.sentence == "start a stocktake")).all()
    assert len(begun) == 3


def test_it_is_finished_once_for_all_and_what_comes_later_belongs_to_it(
    three: Laptops, give: Give, later: datetime
) -> None:
    one, two, three_ = three()
    give(two, one)
    give(three_, one)
    plan = what_would_change(one, later)
    finish(one, later, plan)
    shown = standing(one)
    saw(two, "Stop 20", later, place="attic")  # the other has not heard of it
    give(one, two)
    give(one, three_)
    for laptop in (two, three_):
        assert [past.not_found for past in past_counts(laptop)] == [len(plan.goes_missing)]
        with pytest.raises(NoStocktake):
            refuse_if_none_open(laptop)
    give(two, one)
    assert rows(one) == rows(two)
    after = standing(one)
    assert after.changes == shown.changes
    assert {item.name: item.found for item in after.items} == {item.name: item.found for item in shown.items}
    [late] = [item for item in after.items if item.name == "Stop 20"]
    assert (late.found, late.seen_at) == (Found.NOT_SEEN, "attic")  # and the tick that came too late is there


def test_undoing_the_finishing_opens_the_one_again_and_not_three(
    three: Laptops, give: Give, later: datetime
) -> None:
    one, two, _ = three()
    give(two, one)
    before = rows(one)
    finish(one, later)
    undo(one, later)
    assert rows(one) == before
    give(one, two)
    assert rows(one) == rows(two)
    with two.read() as session:
        assert len(session.scalars(select(Stocktake)).all()) == 1


def test_one_that_was_finished_apart_stays_itself(three: Laptops, give: Give, later: datetime) -> None:
    one, two, _ = three()
    finish(two, later)
    give(two, one)
    give(one, two)
    assert rows(one) == rows(two)
    assert standing(one).finished_on is None  # the other is open, with its own ticks
    assert set(seen_in(one)) <= {"Heron", "Thistle"}
    assert len(past_counts(one)) == 1
