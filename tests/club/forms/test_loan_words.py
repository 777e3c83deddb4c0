"""The words of a loan: each danger named, and nothing said twice."""

import pytest

from obslog.club.forms.loan_words import EVERY_TIME, GO_TO_MOUNTS, SAFETY, THE_SUN
from obslog.club.routine.loan_terms import SHIPPED_STATEMENTS

ALL = (*THE_SUN, *SAFETY, *SHIPPED_STATEMENTS, *EVERY_TIME, *GO_TO_MOUNTS)


@pytest.mark.parametrize(
    "danger", ["the Sun", "screws into an eyepiece", "children", "second person", "batteries", "laser"]
)
def test_each_danger_is_named(danger: str) -> None:
    assert any(danger in words for words in (*THE_SUN, *SAFETY))


def test_nothing_is_said_twice() -> None:
    assert len(set(ALL)) == len(ALL)
