"""The questions of a page: one wording, on a line and above a box."""

from dataclasses import fields

import pytest

from obslog.club.paper.page import NightHeading, SetupHead
from obslog.club.paper.questions import OF_NIGHT, OF_SETUP, PageQuestion


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (PageQuestion("tube", "Tube"), "Tube: "),
        (PageQuestion("started_at", "Set up at", "like 20:10"), "Set up at (like 20:10): "),
    ],
)
def test_a_question_is_asked_with_its_hint_in_brackets(asked: PageQuestion, words: str) -> None:
    assert asked.words == words


def test_every_part_of_a_page_is_asked_for_once_and_in_its_order() -> None:
    assert [asked.name for asked in OF_NIGHT] == [field.name for field in fields(NightHeading)]
    assert [asked.name for asked in OF_SETUP] == [field.name for field in fields(SetupHead)]
