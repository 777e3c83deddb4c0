"""What lending asks, where the club has terms of its own."""

from pathlib import Path

import pytest

from tests.cli.program import Program


@pytest.fixture
def on_terms(in_club: Program, tmp_path: Path) -> Program:
    file = tmp_path / "routine.toml"
    file.write_text('[loan]\nagrees = ["I bring cake."]\n', encoding="utf-8")
    in_club.must("rule", "load", str(file))
    return in_club


@pytest.mark.parametrize(("reply", "code"), [("yes", 0), ("no", 1), (None, 1)])
def test_at_a_terminal_the_borrower_is_asked(
    on_terms: Program, monkeypatch: pytest.MonkeyPatch, reply: str | None, code: int
) -> None:
    def answered(_screen: object, question: str) -> str:
        assert "agree" in question
        if reply is None:
            raise EOFError
        return reply

    monkeypatch.setattr("obslog.cli.terminal.screen.Screen.answer", answered)
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    answer = on_terms("loan", "out", "Heron", "Ines")
    assert answer.code == code
    assert "I bring cake." in answer.err
    loans = on_terms.document("loan", "list")
    assert len(loans) == (1 if reply == "yes" else 0)
    if reply == "yes":
        assert on_terms.document("loan", "show", "Heron")["terms_agreed"] is True


@pytest.mark.parametrize(("option", "agreed"), [("--terms", True), ("--no-terms", False)])
def test_who_says_it_is_not_asked(
    on_terms: Program, monkeypatch: pytest.MonkeyPatch, option: str, agreed: bool
) -> None:
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    on_terms.must("loan", "out", "Heron", "Ines", option)
    assert on_terms.document("loan", "show", "Heron")["terms_agreed"] is agreed


def test_where_nobody_can_be_asked_that_is_noted(on_terms: Program) -> None:
    answer = on_terms.must("loan", "out", "Heron", "Ines")
    assert "is not on record. Say so: --terms or --no-terms" in answer.err
    assert on_terms.document("loan", "show", "Heron")["terms_agreed"] is None


def test_a_club_without_terms_of_its_own_is_not_asked(
    in_club: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    answer = in_club.must("loan", "out", "Heron", "Ines")
    assert "terms" not in answer.err
