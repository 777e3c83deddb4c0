"""A letter of thanks at the keyboard: on the screen, in a file, in the club's words, and what is refused."""

from pathlib import Path

import pytest

from tests.cli.program import Program


@pytest.fixture
def given(in_club: Program) -> Program:
    in_club.must("rule", "set", "currency", "EUR")
    words = ("--acquired", "gift", "--acquired-on", "2026-02-01", "--value", "950")
    in_club.must("store", "note", "Long tube", *words)
    return in_club


def test_a_letter_is_shown_with_a_value_only_where_asked(given: Program) -> None:
    shown = given.must("officer", "thanks", "long tube", "--to", "Wilma Ost", "--condition", "worn").out
    assert shown.startswith("Thank you for the tube Long tube\n\n2026-03-02\n\nDear Wilma Ost,\n")
    assert "We received it on 2026-02-01, in worn condition." in shown
    assert "950" not in shown
    told = given.document("officer", "thanks", "Long tube", "--value")
    assert "The club values it at EUR 950.00, as of 2026-03-02." in told["text"]
    assert (told["gift"]["donor"], told["gift"]["value"], told["file"]) == (None, "EUR 950.00", None)


def test_it_is_written_into_a_file_in_the_clubs_words(given: Program, tmp_path: Path) -> None:
    template, letter = tmp_path / "words.txt", tmp_path / "letter.txt"
    answer = given.must("officer", "thanks", "--write-template", str(template))
    assert answer.err.startswith(f"Written: {template}. Change it")
    template.write_text("Subject: Thanks, {{ donor }}\n\nFor {{ item }}.\n")
    words = ("Long tube", "--to", "Wilma", "--template", str(template), "--out", str(letter))
    assert given.must("officer", "thanks", *words).err == f"Written: {letter}\n"
    assert letter.read_text() == "Thanks, Wilma\n\nFor Long tube.\n"
    answer = given("officer", "thanks", *words)
    assert (answer.code, len(answer.error_lines)) == (1, 2)
    assert given.document("officer", "thanks", "--write-template", str(tmp_path / "w"))["written"]


@pytest.mark.parametrize(
    ("words", "code"),
    [
        ((), 2),
        (("Heron",), 1),
        (("Long tube", "--condition", "missing"), 2),
        (("Long tube", "--template", "no such file"), 2),
        (("Hedgehog",), 2),
    ],
)
def test_what_cannot_be_thanked_for_is_said_in_two_lines(
    given: Program, words: tuple[str, ...], code: int
) -> None:
    answer = given("officer", "thanks", *words)
    assert (answer.code, len(answer.error_lines)) == (code, 2)
