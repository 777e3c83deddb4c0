"""Ticking what is seen: by tag or whole name, what is not on record, and slips undone."""

import sqlite3
from contextlib import closing
from datetime import datetime, timedelta
from typing import cast

import pytest
from sqlalchemy import select

from obslog.club.history.told import newest_acts
from obslog.club.register.undo import undo
from obslog.club.shelves.counting import NoStocktake, StocktakeOpen, saw, start
from obslog.club.shelves.finishing import finish
from obslog.club.shelves.seen import SeenOutcome
from obslog.club.shelves.standing import standing
from obslog.club.storeroom.custody import StoreStatus
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.loans import lend
from obslog.club.storeroom.retirement import retire
from obslog.errors import UnknownName, WrongInput
from obslog.records.database import Database
from obslog.records.tables.base import name_key
from obslog.records.tables.logbook_tables import Equipment, Item
from obslog.records.tables.officer import NotOnRecord, StocktakeTick
from obslog.records.tables.storeroom import Paper
from obslog.records.undoing.undo_errors import CannotUndo
from obslog.vocabulary.storeroom import Found


@pytest.fixture
def counting(club: Database, now: datetime) -> Database:
    write_paper(club, "Heron", {"tag": "M-01", "place": "shelf 2"}, now)
    start(club, now)
    return club


def test_one_stocktake_is_open_at_a_time(club: Database, now: datetime) -> None:
    with pytest.raises(NoStocktake):
        saw(club, "Heron", now)
    with pytest.raises(UnknownName):
        start(club, now, "Nobody")
    assert start(club, now, "Ines").member == "Ines"
    with pytest.raises(StocktakeOpen, match="2026-03-02"):
        start(club, now)
    undo(club, now)
    with pytest.raises(NoStocktake):
        saw(club, "Heron", now)


def test_a_finishing_is_not_taken_back_where_another_stocktake_was_begun_since(
    club: Database, now: datetime
) -> None:
    start(club, now)
    finish(club, now)
    start(club, now + timedelta(hours=1))
    [finishing] = [line for line in newest_acts(club, 5) if line.act.startswith("finish")]
    with pytest.raises(CannotUndo, match=r"has taken its place since: start a stocktake"):
        undo(club, now, finishing.reference)


@pytest.mark.parametrize("text", ["M-01", "m-01", "Heron", " heron "])
def test_a_tag_and_a_name_tick_the_same_item(counting: Database, now: datetime, text: str) -> None:
    seen = saw(counting, text, now)
    assert (seen.outcome, seen.name, seen.tag) == (SeenOutcome.SEEN, "Heron", "M-01")
    assert saw(counting, text, now).outcome is SeenOutcome.AGAIN
    assert [item.name for item in standing(counting).those(Found.SEEN)] == ["Heron"]


def test_a_tag_goes_before_a_name(counting: Database, now: datetime) -> None:
    write_paper(counting, "Wide 25", {"tag": "Heron"}, now)
    assert saw(counting, "Heron", now).name == "Wide 25"


def test_a_beginning_ticks_nothing_and_is_kept_as_typed(counting: Database, now: datetime) -> None:
    assert saw(counting, "Her", now, place="shelf 2").outcome is SeenOutcome.NOT_ON_RECORD
    assert saw(counting, "her", now, place="shelf 2").outcome is SeenOutcome.NOT_ON_RECORD
    assert [(line.text, line.seen_at) for line in standing(counting).not_on_record] == [("Her", "shelf 2")]
    assert standing(counting).those(Found.SEEN) == []


def test_a_slip_of_the_pen_is_answered_with_the_names_that_look_most_like_it(
    counting: Database, now: datetime
) -> None:
    assert saw(counting, "Herron", now).nearest == ("Heron",)
    assert saw(counting, "xyzzy", now).nearest == ()
    retire(counting, "mount", "Heron", None, now.date(), now)
    assert "Heron" not in saw(counting, "Herrron", now).nearest


def test_where_it_was_seen_is_compared_with_where_it_is_kept(counting: Database, now: datetime) -> None:
    assert saw(counting, "M-01", now, place="SHELF  2").outcome is SeenOutcome.SEEN
    assert (
        saw(counting, "Wide 25", now, place="shelf 2").outcome is SeenOutcome.ELSEWHERE
    )  # nobody noted its place
    assert (
        saw(counting, "M-01", now, place="attic").outcome is SeenOutcome.AGAIN
    )  # and the later place counts
    assert {item.name: item.seen_at for item in standing(counting).those(Found.ELSEWHERE)} == {
        "Heron": "attic",
        "Wide 25": "shelf 2",
    }


def test_two_items_of_one_name_are_not_guessed_between(counting: Database, now: datetime) -> None:
    with counting.write(now) as session:
        session.add(Item(name="Heron", name_key="heron", sort="case"))
    seen = saw(counting, "heron", now)
    assert (seen.outcome, sorted(seen.kinds)) == (SeenOutcome.SEVERAL, ["item", "mount"])
    assert saw(counting, "heron", now, kind="item").outcome is SeenOutcome.SEEN
    assert saw(counting, "M-01", now).outcome is SeenOutcome.SEEN


def test_what_is_on_loan_is_said_to_be(counting: Database, now: datetime) -> None:
    lend(counting, "Heron", "Ines", now)
    assert saw(counting, "M-01", now + timedelta(days=1)).status is StoreStatus.OUT


def test_a_slip_is_undone_and_only_that(counting: Database, now: datetime) -> None:
    saw(counting, "Wide 25", now)
    saw(counting, "Heron", now)
    saw(counting, "nothing", now)
    assert undo(counting, now) == "saw nothing in the stocktake"
    assert undo(counting, now) == "saw Heron in the stocktake"
    with counting.read() as session:
        assert session.scalars(select(NotOnRecord)).all() == []
        [tick] = session.scalars(select(StocktakeTick))
        assert session.get_one(Equipment, tick.equipment_id).name == "Wide 25"


@pytest.mark.parametrize("text", ["", "  ", "x" * 201, "a\x07b", "\ud800"])
def test_what_cannot_be_kept_is_refused(counting: Database, now: datetime, text: str) -> None:
    with pytest.raises(WrongInput):
        saw(counting, text, now)


def put_things(database: Database, numbers: range, now: datetime) -> None:
    with database.write(now) as session:
        for number in numbers:
            item = Item(name=f"Thing {number}", name_key=name_key(f"Thing {number}"), sort="case")
            session.add(item)
            session.flush()
            session.add(Paper(equipment_id=item.id, tag=f"T-{number:04}", place=f"shelf {number % 20}"))


def test_a_tick_costs_no_more_among_two_thousand_things(sqlite_database: Database, now: datetime) -> None:
    """By the steps that SQLite takes, which no other program on the machine changes."""
    steps = 0

    def count() -> int:
        nonlocal steps
        steps += 1
        return 0

    def steps_of(tag: str) -> int:
        nonlocal steps
        steps = 0
        assert saw(sqlite_database, tag, now).outcome is SeenOutcome.SEEN
        return steps

    put_things(sqlite_database, range(20), now)
    start(sqlite_database, now)
    with closing(sqlite_database.engine.raw_connection()) as connection:
        cast(sqlite3.Connection, connection.driver_connection).set_progress_handler(count, 10)
    saw(sqlite_database, "T-0000", now)  # what is read once
    few = steps_of("T-0001")
    put_things(sqlite_database, range(20, 2000), now)
    assert few > 0, "the steps are counted on the connection that ticks"
    assert steps_of("T-1999") < 1.5 * few
