"""What the committee asks, of a small club that is counted twice: worked out by hand."""

from datetime import date, datetime, timedelta

import pytest

from obslog.club.shelves.committee import BeforeLine, StocktakeFacts, stocktake_facts
from obslog.club.shelves.counting import NoStocktake, saw, start
from obslog.club.shelves.finishing import finish
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.missing import be_found
from obslog.club.storeroom.retirement import write_off
from obslog.records.database import Database
from obslog.report.pages.stocktake_words import lead_words
from obslog.vocabulary.storeroom import Found
from tests.club.shelves.test_losses import ITEMS, count

DAY = timedelta(days=1)


@pytest.fixture
def counted_twice(club: Database, now: datetime) -> Database:
    """First Heron, Wide 25 and Stop 20 were not found, then Heron and Long tube; in between Stop 20 and Heron were."""
    for name, value in (("Heron", 300.1), ("Long tube", 900.2), ("Wide 25", 60.0)):
        write_paper(club, name, {"value": value, "place": "shelf 2"}, now)
    lend(club, "Heron", "Bram Ostler", now)
    take_back(club, "Heron", now + DAY)
    lend(club, "Heron", "Ines", now + 2 * DAY)
    take_back(club, "Heron", now + 3 * DAY)
    count(club, now + 4 * DAY, "Heron", "Wide 25", "Stop 20")
    be_found(club, "Stop 20", now + 5 * DAY)
    be_found(club, "Heron", now + 5 * DAY)
    count(club, now + 10 * DAY, "Heron", "Long tube", "Wide 25")
    write_paper(club, "Long tube", {"value": 1.0}, now + 11 * DAY)
    lend(club, "Stop 20", "Ines", now + 11 * DAY)
    write_off(club, "Long tube", "gone", now + 12 * DAY)
    return club


def told(
    database: Database, now: datetime, on: date | None = None, *, with_names: bool = False
) -> StocktakeFacts:
    return stocktake_facts(database, (now + 20 * DAY).date(), on, with_names=with_names)


def test_what_was_lost_is_told_with_its_value_of_then_and_what_became_of_it(
    counted_twice: Database, now: datetime
) -> None:
    facts = told(counted_twice, now)
    assert [(line.name, line.value) for line in facts.lost] == [("Heron", 300.1), ("Long tube", 900.2)]
    assert (facts.lost_value, facts.not_valued) == (1200.3, 0)  # 300.10 + 900.20, as they were worth then
    heron, tube = facts.lost
    assert (heron.found_on, heron.written_off_on) == (None, None)
    assert tube.written_off_on == (now + 12 * DAY).date()


def test_who_had_it_last_is_named_to_the_officer_alone(counted_twice: Database, now: datetime) -> None:
    heron = told(counted_twice, now).lost[0]
    assert (heron.lent_on, heron.back_on) == ((now + 2 * DAY).date(), (now + 3 * DAY).date())
    assert heron.last_with is None
    assert told(counted_twice, now, with_names=True).lost[0].last_with == "Ines"


def test_what_the_one_before_did_not_find_stands_as_this_one_saw_it(
    counted_twice: Database, now: datetime
) -> None:
    facts = told(counted_twice, now)
    assert facts.before_on == (now + 4 * DAY).date()
    assert sorted(facts.before, key=lambda line: line.name) == [
        BeforeLine(name="Heron", tag=None, found=Found.NOT_SEEN),
        BeforeLine(name="Stop 20", tag=None, found=Found.SEEN),  # lent since, and that is no matter here
        BeforeLine(name="Wide 25", tag=None, found=Found.STILL_MISSING),
    ]


def test_an_earlier_one_knows_nothing_of_later_ones(counted_twice: Database, now: datetime) -> None:
    facts = told(counted_twice, now, (now + 4 * DAY).date())
    assert sorted(line.name for line in facts.lost) == ["Heron", "Stop 20", "Wide 25"]
    assert {line.name: line.found_on for line in facts.lost}["Stop 20"] == (now + 5 * DAY).date()
    assert (facts.before_on, facts.before, facts.standing.past) == (None, [], [])
    assert facts.losses.trend == "One stocktake is no trend yet."
    assert len(told(counted_twice, now).losses.counts) == 2


def test_from_the_records_to_the_sentence(counted_twice: Database, now: datetime) -> None:
    items = len(ITEMS) - 1  # Wide 25 was missing, and not expected
    assert lead_words(told(counted_twice, now)) == (
        f"Of {items} items that should have been on the shelves 2 were not found, worth 1,200.30 together. "
        "Of 3 items that the stocktake before did not find 1 is back. Counted by Ines on 2026-03-12."
    )


def test_an_open_one_is_told_as_far_as_it_is(counted_twice: Database, now: datetime) -> None:
    start(counted_twice, now + 15 * DAY)
    saw(counted_twice, "Wide 25", now + 15 * DAY)
    facts = told(counted_twice, now)
    assert facts.standing.finished_on is None
    assert {line.name: line.found for line in facts.before} == {
        "Heron": Found.STILL_MISSING,
        "Long tube": None,
    }
    assert len(facts.losses.counts) == 2
    finish(counted_twice, now + 15 * DAY)


def test_where_nothing_was_ever_counted_there_is_no_page(club: Database, now: datetime) -> None:
    with pytest.raises(NoStocktake):
        stocktake_facts(club, now.date())
