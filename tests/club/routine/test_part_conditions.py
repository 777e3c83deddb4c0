"""Conditions of parts as they are typed."""

import pytest

from obslog.club.routine.part_conditions import UnreadableCondition, read_conditions
from obslog.fields import UnusableText
from obslog.vocabulary.storeroom import Condition


@pytest.mark.parametrize(
    ("typed", "part", "condition", "note"),
    [
        ("Wide 25=good", "Wide 25", Condition.GOOD, None),
        (
            "Wide 25=damaged: a scratch on the eye lens",
            "Wide 25",
            Condition.DAMAGED,
            "a scratch on the eye lens",
        ),
        ("  dust cap = WORN ", "dust cap", Condition.WORN, None),
        ("clamp M6=1.0=good", "clamp M6=1.0", Condition.GOOD, None),
        (
            "Wide 25=missing: label said f=25: not found",
            "Wide 25",
            Condition.MISSING,
            "label said f=25: not found",
        ),
    ],
)
def test_a_part_its_condition_and_what_is_said_of_it_are_read(
    typed: str, part: str, condition: Condition, note: str | None
) -> None:
    assert read_conditions([typed]) == {part: (condition, note)}


def test_of_two_about_one_part_the_later_holds_and_none_is_none() -> None:
    later = read_conditions(["Wide 25=good", "Heron=worn", "Wide 25=worn"])
    assert later == {"Wide 25": (Condition.WORN, None), "Heron": (Condition.WORN, None)}
    assert read_conditions([]) == {}


@pytest.mark.parametrize(
    "typed", ["", "Wide 25", "=good", "  =good", "Wide 25=", "Wide 25=shiny", "Wide 25: good"]
)
def test_what_names_no_part_or_no_condition_is_refused_with_the_words_there_are(typed: str) -> None:
    with pytest.raises(UnreadableCondition) as caught:
        read_conditions(["Heron=good", typed])
    assert repr(typed) in caught.value.message
    assert all(word in caught.value.hint for word in Condition)


def test_a_colon_with_nothing_after_it_says_nothing() -> None:
    with pytest.raises(UnusableText):
        read_conditions(["Wide 25=damaged:  "])
