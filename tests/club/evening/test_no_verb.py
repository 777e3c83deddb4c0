"""A line without a verb is answered with one that has it."""

import pytest

from obslog.grammar.lines import UnknownVerb
from obslog.records.database import Database
from tests.club.evening.typing import Typing


@pytest.mark.parametrize(
    ("line", "hint"),
    [
        ("25e 3s", "Where the last one stood: edit 25e 3s"),
        ("edge", "Where the last one stood: edit edge"),
        ("cloud 3", "What the sky is like: sky cloud 3"),
        ("m42", "A verb comes first: goto m42 edge, or saw m42; WORDS"),
        ("delete 4", "An arrival: edit 4 remove. What was typed last: undo"),
    ],
)
def test_what_is_told_instead_can_be_typed(club: Database, line: str, hint: str) -> None:
    with pytest.raises(UnknownVerb) as refused:
        Typing(club)(line)
    assert refused.value.hint == hint


@pytest.mark.parametrize("line", ["frobnicate m31", "hello", "in haste"])
def test_where_nothing_can_be_guessed_the_verbs_are_told(club: Database, line: str) -> None:
    with pytest.raises(UnknownVerb) as refused:
        Typing(club)(line)
    assert refused.value.hint.startswith(("Lines begin with: ", "Did you mean "))


def test_what_was_refused_goes_through_with_the_hint(club: Database) -> None:
    typing = Typing(club).begun()
    typing("20:56 g m31")
    typing("edit 25e 3s")
    assert typing.rows("SELECT offset_east_arcmin, offset_north_arcmin FROM arrivals") == [(25.0, -3.0)]
