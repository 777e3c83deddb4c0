"""The look that is kept, and what it does to the screen."""

import pytest

from tests.cli.program import Program, Terminal


@pytest.fixture
def seen(outside: Program, monkeypatch: pytest.MonkeyPatch) -> Program:
    """The program in the field at a terminal of 60 columns."""
    for name, value in (("TERM", "xterm-256color"), ("COLUMNS", "60")):
        monkeypatch.setenv(name, value)
    for name in ("COLORTERM", "NO_COLOR", "FORCE_COLOR"):
        monkeypatch.delenv(name, raising=False)
    outside.terminal = Terminal()
    return outside


def shown(program: Program, *words: str) -> str:
    assert isinstance(program.terminal, Terminal)
    program.terminal.seek(0)
    program.terminal.truncate()
    assert program(*words).code == 0
    return program.terminal.getvalue()


def test_a_look_is_kept_until_it_is_the_usual_one_again(seen: Program) -> None:
    usual = shown(seen, "night", "list")
    shown(seen, "look", "red")
    assert "\x1b[38;5;124m" in shown(seen, "night", "list")
    shown(seen, "look", "plain")
    plain = shown(seen, "night", "list")
    assert plain.splitlines()[:3] == ["night: 2026-03-02", "site: Mill Field", "set-ups: 1"]
    shown(seen, "look", "usual")
    assert shown(seen, "night", "list") == usual


def test_what_is_kept_changes_no_pipe(outside: Program) -> None:
    piped = outside.must("night", "list").out
    outside.must("look", "plain")
    assert outside.must("night", "list").out == piped
    assert outside.must("night", "list", "--plain").out.splitlines()[0] == "night: 2026-03-02"


def test_it_is_said_what_is_kept_and_what_holds(outside: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.delenv("COLORTERM", raising=False)
    outside.environment |= {"OBSLOG_PAGER": "more", "PATH": ""}
    assert outside.document("look") == {
        "kept": "usual", "red": False, "plain": False, "colours": "256", "pager": "more",
    }  # fmt: skip
    outside.environment["OBSLOG_PAGER"] = ""
    kept = outside.document("look", "pl", "--red")
    assert kept == {"kept": "plain", "red": True, "plain": False, "colours": "256", "pager": None}
    assert outside.must("look").out.splitlines() == [
        "kept\tplain", "now\tusual", "colours\t256", "pager\tnone",
    ]  # fmt: skip


def test_a_look_that_there_is_not_is_refused(outside: Program) -> None:
    answer = outside("look", "purple")
    assert answer.code == 2
    assert "usual, red, plain" in answer.err


def test_the_look_needs_no_database(program: Program) -> None:
    assert program.document("look", "plain")["kept"] == "plain"
    assert "New database" not in program.must("look").err
