"""The page of a member: private, kindly worded, and never more than the records say."""

from datetime import date

import pytest

from obslog.club.overviews.habits import Beside, Habits, StepCount
from obslog.club.overviews.member_facts import MemberFacts, OwnNight
from obslog.club.pages.basis import Basis
from obslog.report.overviews.member_page import NEWEST_NIGHTS, beside_club_words, lead_words, member_page
from obslog.report.pages.content import Paragraph, Table
from obslog.values import Interval
from obslog.vocabulary.steps import Step
from tests.report.overviews.test_lists_picture import progress_with

DAY = date(2026, 3, 2)
NO_HABITS = Habits(
    setups=0, beside_club=None, landing=[], polar_error=None, ticked=0, not_ticked=[], snags=[]
)
SOME = Habits(
    setups=22,
    beside_club=Interval(0.91, 0.66, 1.25, 22),
    landing=[Beside(what="Heron", own=Interval(12, 8, 18, 22), others=None)],
    polar_error=Beside(what="polar axis", own=Interval(17, 12, 23, 15), others=Interval(16, 14, 17, 232)),
    ticked=4,
    not_ticked=[
        StepCount(step=Step.LEVEL, title="Level the base", count=3, share=Interval(0.75, 0.3, 0.96, 4))
    ],
    snags=[],
)


def facts_of(habits: Habits, nights: int = 0, lists: int = 0) -> MemberFacts:
    return MemberFacts(
        member="Ines",
        day=DAY,
        progress=[progress_with(1, 2)] * lists,
        nights=[OwnNight(night=DAY, site="Mill Field", mounts=["Heron"], observations=2)] * nights,
        months=[],
        habits=habits,
        loans=[],
        basis=Basis(day=DAY, used=()),
    )


def everything(facts: MemberFacts) -> str:
    return " ".join(
        part.text
        for section in member_page(facts).sections
        for part in section.parts
        if isinstance(part, Paragraph)
    )


def test_it_says_that_it_is_private() -> None:
    assert lead_words(facts_of(SOME, 1)) == (
        "This page is private to Ines: 1 night, 22 set-ups, 2 observations on record."
    )


@pytest.mark.parametrize(
    ("ratio", "words"),
    [
        (Interval(0.7, 0.5, 0.9, 30), "nearer than the club's do"),
        (Interval(1.4, 1.1, 1.9, 30), "farther out than the club's do"),
        (Interval(1.4, 0.9, 1.9, 30), "no difference"),
        (Interval(1.4, None, None, 1), "no difference"),
    ],
)
def test_a_difference_is_told_only_beyond_chance(ratio: Interval, words: str) -> None:
    told = beside_club_words(ratio)
    assert words in told
    assert f"from {ratio.count} set-up" in told


def test_the_axis_is_told_with_its_counts() -> None:
    assert (
        "The polar axes of your set-ups stood 17' (12' to 23') from the pole, the geometric mean of the 15 set-ups "
        "that tell; the others' 16' (14' to 17'), 232 of them."
    ) in everything(facts_of(SOME))


def test_steps_without_a_tick_stand_with_their_share() -> None:
    section = member_page(facts_of(SOME)).sections[3]
    (table,) = (part for part in section.parts if isinstance(part, Table))
    assert table.rows == [["Level the base", "3", "4", "75 % (30 % to 96 %)"]]
    assert "No snag is noted in your 22 set-ups." in everything(facts_of(SOME))


def test_only_the_newest_nights_are_listed_and_all_are_counted() -> None:
    section = member_page(facts_of(SOME, NEWEST_NIGHTS + 5)).sections[1]
    (table,) = (part for part in section.parts if isinstance(part, Table))
    assert len(table.rows) == NEWEST_NIGHTS
    assert table.caption == "The newest 20 of 25 nights"


@pytest.mark.parametrize(("nights", "caption"), [(1, "Your night"), (3, "Your 3 nights, the newest first")])
def test_where_no_night_is_left_out_the_caption_does_not_count_some_of_all(nights: int, caption: str) -> None:
    (table,) = [
        p for s in member_page(facts_of(SOME, nights)).sections for p in s.parts if isinstance(p, Table)
    ][:1]
    assert table.caption == caption


def test_who_has_done_nothing_yet_is_told_so_without_a_number() -> None:
    words = everything(facts_of(NO_HABITS))
    for told in (
        "Nothing of the Messier, Caldwell or double star lists is noted as seen yet.",
        "No night of yours is on record yet.",
        "No set-up is noted under your name yet.",
        "You have never borrowed anything.",
    ):
        assert told in words
