"""Answers are numbered, changed and dropped, and what no longer belongs to a question is passed over."""

from pathlib import Path

import pytest

from obslog.cli.paper.answers import Answers, NoSuchAnswer, NotDropped, NothingBefore, TypedAnswer

GIVEN = [
    TypedAnswer("site", "Mill Field"), TypedAnswer("mount", "Heron"), TypedAnswer("tube", "Long tube"),
    TypedAnswer("eyepiece", ""),
    TypedAnswer("observer", "Ines"), TypedAnswer("started_at", "20:10"), TypedAnswer("line", "20:31 sync Regulus"),
]  # fmt: skip
SECOND = [
    TypedAnswer("line", "setup"),
    TypedAnswer("mount", ""),
    TypedAnswer("observer", "Ines"),
    TypedAnswer("line", "21:00 saw M 45"),
]


@pytest.fixture
def answers(tmp_path: Path) -> Answers:
    answers = Answers(tmp_path / "draft.json")
    for answer in GIVEN + SECOND:
        answers.take(answer)
    return answers


def test_the_draft_has_them_all(answers: Answers) -> None:
    assert Answers(answers.draft).in_draft() == GIVEN + SECOND
    answers.drop_draft()
    assert Answers(answers.draft).in_draft() == []


def test_a_changed_answer_stands_in_its_place(answers: Answers) -> None:
    answers.changed(answers.numbered("5"), "Bram Ostler")
    assert answers.waiting == [*GIVEN[:4], TypedAnswer("observer", "Bram Ostler"), *GIVEN[5:], *SECOND]
    assert answers.given == []


def test_with_a_set_up_goes_what_was_said_of_it(answers: Answers) -> None:
    answers.dropped(answers.numbered("8"))
    assert answers.waiting == [*GIVEN, SECOND[-1]]


def test_only_lines_are_dropped(answers: Answers) -> None:
    with pytest.raises(NotDropped):
        answers.dropped(answers.numbered("2"))
    answers.dropped(answers.numbered("7"))
    assert answers.waiting == [*GIVEN[:6], *SECOND]


@pytest.mark.parametrize("number", ["0", "12", "99"])
def test_a_number_that_is_not_there_is_refused(answers: Answers, number: str) -> None:
    with pytest.raises(NoSuchAnswer):
        answers.numbered(number)


def test_nothing_comes_before_the_first(tmp_path: Path) -> None:
    with pytest.raises(NothingBefore):
        Answers(tmp_path / "draft.json").without_last()


def test_without_a_mount_what_was_said_of_its_tube_is_passed_over(answers: Answers) -> None:
    answers.begin_again(GIVEN[2:])
    assert answers.next_waiting("observer") == TypedAnswer("observer", "Ines")
    assert answers.next_waiting("line") == GIVEN[-1]
    assert answers.next_waiting("line") is None


def test_what_waits_for_a_later_question_stays(answers: Answers) -> None:
    answers.begin_again(GIVEN[4:])
    assert answers.next_waiting("tube") is None
    assert answers.next_waiting("eyepiece") is None
    assert answers.next_waiting("observer") == TypedAnswer("observer", "Ines")
    assert answers.next_waiting("started_at") == TypedAnswer("started_at", "20:10")
