"""What stocktakes did not find: by name, with what became of it; shares and chances against reference libraries."""

from datetime import datetime, timedelta

import pytest
from numpy.testing import assert_allclose
from scipy.stats import fisher_exact
from statsmodels.stats.proportion import proportion_confint

from obslog.club.register.undo import undo
from obslog.club.shelves.counting import saw, start
from obslog.club.shelves.finishing import finish
from obslog.club.shelves.losses import LostItem, chance_of, losses, trend_words, wilson_interval
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.missing import be_found
from obslog.club.storeroom.retirement import write_off
from obslog.records.database import Database
from obslog.records.tables.officer import Stocktake

ITEMS = ("Heron", "Bracken", "Thistle", "Long tube", "Wide 25", "Stop 20", "Lead battery")
DAY = timedelta(days=1)


def count(database: Database, at: datetime, *unseen: str) -> None:
    """A stocktake in which all but these are seen, of what is not missing."""
    start(database, at, "Ines")
    for name in ITEMS:
        if name not in unseen:
            saw(database, name, at)
    finish(database, at)


def test_what_was_not_found_is_named_with_what_became_of_it(club: Database, now: datetime) -> None:
    write_paper(club, "Wide 25", {"tag": "E-1"}, now)
    count(club, now, "Wide 25", "Stop 20", "Heron")
    be_found(club, "Stop 20", now + DAY)
    write_off(club, "Heron", "gone", now + DAY)
    count(club, now + 2 * DAY, "Wide 25", "Heron", "Stop 20")
    first, second = losses(club).counts
    assert (first.expected, first.not_found, first.member, first.unnamed) == (7, 3, "Ines", 0)
    assert first.items == [
        LostItem(name="Heron", kind="mount", tag=None, found_on=None, written_off_on=(now + DAY).date()),
        LostItem(name="Stop 20", kind="eyepiece", tag=None, found_on=(now + DAY).date(), written_off_on=None),
        LostItem(name="Wide 25", kind="eyepiece", tag="E-1", found_on=None, written_off_on=None),
    ]
    # Heron and Wide 25 are not looked for any more: five items, of which Stop 20 is lost again.
    assert (second.expected, second.not_found) == (5, 1)
    assert [(item.name, item.found_on) for item in second.items] == [("Stop 20", None)]
    undo(club, now)
    assert len(losses(club).counts) == 1


def test_of_a_stocktake_from_before_names_were_kept_only_the_number_is_known(
    club: Database, now: datetime
) -> None:
    with club.write(now) as session:
        session.add(Stocktake(started_on=now.date(), finished_on=now.date(), expected=40, not_found=2))
    (one,) = losses(club).counts
    assert (one.items, one.unnamed, one.percent) == ([], 2, 5.0)


@pytest.mark.parametrize(("found", "of"), [(0, 5), (1, 40), (3, 40), (40, 40), (7, 2000)])
def test_the_interval_is_that_of_a_reference_library(found: int, of: int) -> None:
    low, high = proportion_confint(found, of, method="wilson")
    ours = wilson_interval(found, of)
    assert_allclose([float(end or 0) for end in ours], [100 * low, 100 * high], atol=1e-9)


def test_of_nothing_there_is_no_share() -> None:
    assert wilson_interval(0, 0) == (None, None)


@pytest.mark.parametrize(
    ("last", "before"),
    [((3, 40), (4, 120)), ((0, 40), (4, 120)), ((9, 40), (2, 60)), ((1, 3), (0, 5)), ((5, 5), (0, 9))],
)
def test_the_chance_is_that_of_a_reference_library(last: tuple[int, int], before: tuple[int, int]) -> None:
    (count, of), (earlier, of_earlier) = last, before
    table = [[count, of - count], [earlier, of_earlier - earlier]]
    larger = count * of_earlier >= earlier * of
    expected = fisher_exact(table, alternative="greater" if larger else "less").pvalue
    assert_allclose(chance_of(count, of, earlier, of_earlier), expected, rtol=1e-9)


@pytest.mark.parametrize(
    ("counts", "words"),
    [
        ([], "No stocktake is finished yet."),
        ([(0, 0)], "No item should have been on the shelves, so there is nothing to compare."),
        ([(1, 40)], "One stocktake is no trend yet."),
        ([(1, 40), (0, 0)], "One stocktake is no trend yet."),
        (
            [(1, 40), (1, 40)],
            "The last missed 1 of 40 items (2.5 %), that before 1 of 40 (2.5 %): the same share.",
        ),
        (
            # Of two items lost among 2 and 2, both the last: 1 of comb(4, 2) = 6 ways.
            [(0, 2), (2, 2)],
            "The last missed 2 of 2 items (100.0 %), that before 0 of 2 (0.0 %). Chance alone does as much in "
            "17 % of cases: no sure change.",
        ),
        (
            # All five of the last and none of 5 + 5 before: 1 of comb(15, 5) = 3003 ways.
            [(0, 5), (0, 5), (5, 5)],
            "The last missed 5 of 5 items (100.0 %), those before 0 of 10 (0.0 %): more than before, which chance "
            "alone does in less than 1 % of cases.",
        ),
        (
            # None of five after three of three: all three in the first, 1 of comb(8, 3) = 56 ways.
            [(3, 3), (0, 5)],
            "The last missed 0 of 5 items (0.0 %), that before 3 of 3 (100.0 %): fewer than before, which chance alone "
            "does in 2 % of cases.",
        ),
    ],
)
def test_the_trend_is_said_as_surely_as_it_is(counts: list[tuple[int, int]], words: str) -> None:
    assert trend_words(counts)[0] == words
