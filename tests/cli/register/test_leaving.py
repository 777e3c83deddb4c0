"""A member who leaves is asked about first, for it cannot be undone."""

import io

import pytest

from tests.cli.program import Program, Terminal


def at_the_keyboard(monkeypatch: pytest.MonkeyPatch, typed: str) -> None:
    keyboard = Terminal(typed)
    monkeypatch.setattr("sys.stdin", keyboard)


def test_where_nobody_can_be_asked_it_is_refused(in_club: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("yes\n"))
    answer = in_club("member", "leave", "Ines")
    assert answer.code == 2
    assert "--yes" in answer.error_lines[-1]
    in_club.must("member", "show", "Ines")


@pytest.mark.parametrize("typed", ["no\n", "\n", "", "yesterday\n"])
def test_anything_but_yes_changes_nothing(
    in_club: Program, monkeypatch: pytest.MonkeyPatch, typed: str
) -> None:
    at_the_keyboard(monkeypatch, typed)
    answer = in_club("member", "leave", "Ines")
    assert answer.code == 1
    assert "Nothing was changed." in answer.err
    in_club.must("member", "show", "Ines")


def test_yes_does_it_after_saying_what_will_be_done(
    in_club: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    in_club.must("member", "contact", "Ines", "--phone", "01632 960 123")
    at_the_keyboard(monkeypatch, "yes\n")
    answer = in_club("member", "leave", "Ines")
    assert answer.code == 0
    assert "contact would be deleted" in answer.err
    assert in_club("member", "show", "Ines").code == 2


def test_looking_asks_nothing(in_club: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    assert in_club.document("member", "leave", "Ines", "--look")["done"] is False
