"""A stocktake as it is typed and scanned."""

import io
from pathlib import Path

import pytest

from tests.cli.conftest import Run


@pytest.fixture
def counting(run: Run) -> Run:
    run("store", "note", "Heron", "--tag", "M-01", "--place", "shelf 2")
    run("stocktake", "start", "--member", "Ines")
    return run


def test_without_one_open_it_is_said_how_to_begin(run: Run) -> None:
    for words in (["saw", "M-01"], ["saw"], ["show"], ["finish"]):
        answer = run("stocktake", *words)
        assert answer.code == 1
        assert "obslog stocktake start" in answer.err
    assert run("stocktake", "past").out == "No stocktake is finished yet.\n"


def test_a_scanner_types_a_line_for_each(counting: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("M-01\n\nwide 25\nT-999\nM-01\n"))
    answer = counting("stocktake", "saw", "--place", "attic")
    assert answer.code == 0
    assert answer.err.splitlines() == [
        "Heron (M-01): seen elsewhere at attic, kept at shelf 2",
        "Wide 25: seen elsewhere at attic",
        "T-999: not on record; kept as it is.",
        "Heron (M-01): seen already at attic",
    ]
    assert answer.out == "4 lines: 2 seen elsewhere, 1 not on record, 1 seen already.\n"


def test_a_line_that_cannot_be_kept_is_told_and_the_others_are_kept(
    counting: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(f"{'x' * 201}\nM-01\n"))
    answer = counting("stocktake", "saw")
    assert answer.code == 1
    assert "1 line was refused." in answer.err
    assert "Heron" not in counting("stocktake", "finish").out


def test_it_is_shown_by_place_and_finished_only_when_sure(counting: Run) -> None:
    counting("stocktake", "saw", "M-01", "nonsense")
    shown = counting("stocktake", "show").out
    assert "shelf 2\tHeron\tmount\tM-01\tseen" in shown
    assert "nonsense" in shown
    looked = counting("stocktake", "finish").out
    assert "Wide 25" in looked
    assert "Nothing is changed yet. To do it: obslog stocktake finish --sure" in looked
    assert "Wide 25" not in counting("store", "list", "--missing").out
    assert "obslog undo" in counting("stocktake", "finish", "--sure").out
    assert "Wide 25" in counting("store", "list", "--missing").out
    assert "2026-03-02\tInes" in counting("stocktake", "past").out
    counting("undo")
    assert "Wide 25" not in counting("store", "list", "--missing").out


@pytest.mark.parametrize(("reply", "code"), [("yes", 0), ("no", 1), (None, 1)])
def test_at_a_terminal_it_asks(
    counting: Run, monkeypatch: pytest.MonkeyPatch, reply: str | None, code: int
) -> None:
    def answered(_screen: object, _question: str) -> str:
        if reply is None:
            raise EOFError
        return reply

    monkeypatch.setattr("obslog.cli.terminal.screen.Screen.answer", answered)
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    assert counting("stocktake", "finish").code == code
    assert ("Wide 25" in counting("store", "list", "--missing").out) == (reply == "yes")


def test_the_committee_gets_a_page(counting: Run, tmp_path: Path) -> None:
    path = tmp_path / "stocktake.html"
    assert counting("page", "stocktake", "--out", str(path)).code == 0
    assert "Heron" in path.read_text(encoding="utf-8")


def test_what_was_not_found_is_named_afterwards_and_drawn(counting: Run, tmp_path: Path) -> None:
    assert counting("stocktake", "losses").out == "No stocktake is finished yet.\n"
    counting("stocktake", "saw", "M-01")
    counting("stocktake", "finish", "--sure")
    counting("store", "found", "Wide 25")
    file = tmp_path / "losses.svg"
    answer = counting("stocktake", "losses", "--picture", str(file))
    lines = answer.out.splitlines()
    assert lines[0] == "2026-03-02, counted by Ines: 6 of 7 items not found (85.7 %)"
    assert "    Wide 25: found on 2026-03-02" in lines
    assert "    Bracken: still missing" in lines
    assert lines[-1] == "One stocktake is no trend yet."
    assert "What stocktakes did not find" in file.read_text(encoding="utf-8")
