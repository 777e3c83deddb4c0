"""Words for conditions: the club's own, kept beside what they mean."""

from datetime import date, datetime

import pytest
from sqlalchemy import select

from obslog.club.forms.loan_sheet import loan_sheet
from obslog.club.forms.stocktake_sheet import stocktake_sheet
from obslog.club.routine.condition_words import (
    SHIPPED_WORDS,
    ConditionWords,
    Judged,
    MeantWord,
    read_words,
)
from obslog.club.routine.part_conditions import UnreadableCondition, read_conditions
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loans import hand_over, lend, take_back
from obslog.club.storeroom.missing import go_missing
from obslog.records.database import Database
from obslog.records.tables.lending import LoanPart
from obslog.records.tables.officer import ConditionWord
from obslog.vocabulary.storeroom import Condition

CLUBS = (
    ("fine", Condition.GOOD),
    ("Scuffed", Condition.WORN),
    ("good", Condition.GOOD),
    ("bust", Condition.DAMAGED),
    ("gone", Condition.MISSING),
)


@pytest.fixture
def worded(club: Database, now: datetime) -> Database:
    """A club with words of its own, and a kit."""
    with club.write(now, "words") as session:
        for place, (word, means) in enumerate(CLUBS, 1):
            session.add(ConditionWord(place=place, word=word, means=means))
    add_kit(club, "Evening kit", ["Heron", "Wide 25", "dust cap"], now)
    return club


def test_without_a_file_the_words_are_the_programs_own(club: Database) -> None:
    words = read_words(club)
    assert words.words == SHIPPED_WORDS
    assert words.judged(" GOOD ") == Judged(Condition.GOOD)
    assert words.for_(Condition.MISSING) == Judged(Condition.MISSING)
    assert words.judged("fine") is None


def test_a_word_of_the_clubs_is_kept_beside_what_it_means() -> None:
    words = ConditionWords(tuple(MeantWord(word, means) for word, means in CLUBS))
    assert words.judged("scuffed") == Judged(Condition.WORN, "Scuffed")
    assert words.judged("good") == Judged(Condition.GOOD)  # the program's own word is not said twice
    assert words.for_(Condition.GOOD) == Judged(Condition.GOOD, "fine")
    assert words.for_(Condition.DAMAGED).shown == "bust"
    assert ConditionWords((MeantWord("fine", Condition.GOOD),)).for_(Condition.WORN) == Judged(Condition.WORN)


def test_a_loan_goes_out_and_comes_back_in_the_clubs_words(worded: Database, now: datetime) -> None:
    words = read_words(worded)
    told = read_conditions(["dust cap=scuffed: a chip"], words)
    page = lend(worded, "Evening kit", "Ines", now, conditions=told, all_good=True)
    assert {part.part: part.condition_out for part in page.parts} == {
        "Heron": "fine",
        "Wide 25": "fine",
        "dust cap": "Scuffed",
    }
    page = hand_over(worded, "Evening kit", "Bram Ostler", now)
    assert page.parts[-1].condition_out is None  # nobody looked
    told = read_conditions(["dust cap=bust", "Wide 25=gone"], words)
    back = take_back(worded, "Evening kit", now, conditions=told, all_good=True)
    assert {part.part: (part.condition_in, part.differs) for part in back.parts} == {
        "Heron": ("fine", None),
        "Wide 25": ("gone", "nobody looked when it went out -> gone"),
        "dust cap": ("bust", "nobody looked when it went out -> bust"),
    }
    with worded.read() as session:
        kept = {
            (part.label, part.condition_in, part.word_in)
            for part in session.scalars(select(LoanPart))
            if part.word_in
        }
    assert ("Wide 25", Condition.MISSING, "gone") in kept
    with pytest.raises(UnreadableCondition) as refused:
        read_conditions(["Heron=worn"], words)
    assert "fine, Scuffed, good, bust, gone" in refused.value.hint


def test_handed_over_it_goes_on_in_the_words_in_which_it_came(worded: Database, now: datetime) -> None:
    lend(worded, "Evening kit", "Ines", now)
    told = read_conditions(["Heron=scuffed"], read_words(worded))
    page = hand_over(worded, "Evening kit", "Bram Ostler", now, conditions=told)
    assert page.parts[0].condition_out == "Scuffed"


def test_what_is_lost_on_loan_is_said_in_the_clubs_word(worded: Database, now: datetime) -> None:
    page = lend(worded, "Evening kit", "Ines", now)
    go_missing(worded, "Wide 25", now, lost_on_loan=True)
    with worded.read() as session:
        part = session.scalars(select(LoanPart).where(LoanPart.label == "Wide 25")).one()
        assert (part.condition_in, part.word_in) == (Condition.MISSING, "gone")
    assert page.loan.back_on is None


def test_the_sheets_have_the_clubs_words_to_ring(worded: Database, now: datetime) -> None:
    lend(worded, "Evening kit", "Ines", now)
    listed = [word for word, _ in CLUBS]
    assert str(tuple(listed)) in str(loan_sheet(worded, "Evening kit", now.date()))
    assert str(tuple(listed[:-1])) in str(
        stocktake_sheet(worded, date(2026, 3, 2))
    )  # what is gone is not seen
