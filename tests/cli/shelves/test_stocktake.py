"""A stocktake as it is typed and scanned."""

import io
import json
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


def test_ctrl_d_ends_the_lines_where_a_window_takes_it_for_a_letter(
    counting: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("M-01\n\x04\nT-999\n"))
    answer = counting("stocktake", "saw")
    assert (answer.code, len(answer.err.splitlines())) == (0, 1)


def test_a_line_that_cannot_be_kept_is_told_and_the_others_are_kept(
    counting: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(f"{'x' * 201}\nM-01\n"))
    answer = counting("stocktake", "saw")
    assert answer.code == 1
    assert "1 line was refused." in answer.err
    assert "Heron" not in counting("stocktake", "finish").out


def test_a_name_that_cannot_be_kept_stops_none_of_the_others(counting: Run) -> None:
    answer = counting("stocktake", "saw", "x" * 201, "M-01", "wide 25")
    assert (answer.code, answer.out) == (1, "Heron (M-01): seen\nWide 25: seen\n")
    assert "The tag or name has 1 to 200 characters" in answer.err
    assert "1 name was refused.\nWhat is wrong with each is said above; the others are kept." in answer.err
    assert counting("stocktake", "saw", "M-01").out == "Heron (M-01): seen already\n"


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
    counting("store", "note", "Wide 25", "--value", "60")
    counting("loan", "out", "Wide 25", "Bram Ostler")
    counting("loan", "back", "Wide 25")
    assert counting("page", "stocktake", "--out", str(path)).code == 0
    assert "0 of 7 items seen, 7 not seen yet." in path.read_text(encoding="utf-8")
    for name in ("Heron", "Bracken", "Thistle", "Long tube", "Stop 20", "Lead battery"):
        counting("stocktake", "saw", name)
    counting("stocktake", "finish", "--sure")
    counting("store", "found", "Wide 25")
    said = "Of 7 items that should have been on the shelves 1 was not found, worth 60.00."
    assert counting("page", "stocktake", "2026-03-02", "--out", str(path)).code == 0
    page = path.read_text(encoding="utf-8")
    assert said in page
    assert 'found on <span class="whole">2026-03-02</span>' in page
    assert "Bram Ostler" not in page
    document = counting("page", "stocktake", "--officer", "--out", str(path), "--json").out
    assert json.loads(document)["lost"][0]["last_with"] == "Bram Ostler"
    assert "Bram Ostler" in path.read_text(encoding="utf-8")
    assert path.stat().st_mode & 0o077 == 0  # it names people


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


def test_a_finished_one_is_shown_as_it_was_by_any_of_its_days(counting: Run) -> None:
    counting("kit", "add", "Evening kit", "--part", "dew cap", "--part", "cable")
    counting("stocktake", "saw", "M-01", "--place", "attic")
    counting("stocktake", "saw", "Evening kit", "--without", "dew cap")
    looked = counting("stocktake", "finish").out.splitlines()
    assert "Missing from 2026-03-02, 1 part of kits: dew cap of Evening kit." in looked
    counting("stocktake", "finish", "--sure")
    counting("store", "found", "Wide 25")
    counting("mount", "edit", "Heron", "--rename", "Grey heron")
    shown = counting("stocktake", "show", "2026-03-02").out.splitlines()
    assert (
        shown[0] == "Stocktake from 2026-03-02 to 2026-03-02, counted by Ines, finished: 1 of 7 items seen."
    )
    assert "shelf 2\t1\t0\t1\t0" in shown
    assert "No place on record\t6\t0\t0\t6" in shown
    assert "shelf 2\tHeron\tmount\tM-01\tseen elsewhere\tattic" in shown
    assert "Evening kit\tdew cap\tnot seen" in shown
    assert "Evening kit\tcable\tseen" in shown
    assert "Heron\tM-01\tshelf 2\tattic" in shown  # what finishing moved
    [missing] = [line for line in shown if line.startswith("Finishing made missing from 2026-03-02, 6 items")]
    assert "Wide 25" in missing
    assert counting("stocktake", "show").out.splitlines() == shown  # none is open: the last
    nothing = counting("stocktake", "show", "2026-03-01")
    assert nothing.code == 1
    assert "No stocktake was open on 2026-03-01." in nothing.err
    assert "obslog stocktake past" in nothing.err


def test_what_finishing_changed_is_in_the_document_too(counting: Run) -> None:
    counting("stocktake", "saw", "M-01", "--place", "attic")
    counting("stocktake", "finish", "--sure")
    shown = json.loads(counting("stocktake", "show", "2026-03-02", "--json").out)
    assert (shown["started_on"], shown["finished_on"]) == ("2026-03-02", "2026-03-02")
    assert (shown["expected"], shown["not_seen"], shown["whole"]) == (7, 6, True)
    assert shown["changes"]["moved"] == [
        {"name": "Heron", "tag": "M-01", "place": "shelf 2", "seen_at": "attic"}
    ]
    assert len(shown["changes"]["goes_missing"]) == 6


def test_what_is_missing_is_said_of_one_kit_alone(counting: Run) -> None:
    for words in (["saw", "--without", "cap"], ["saw", "M-01", "Wide 25", "--without", "cap"]):
        answer = counting("stocktake", *words)
        assert answer.code == 2
        assert "Name that kit alone" in answer.err
    answer = counting("stocktake", "saw", "M-01", "--without", "cap")
    assert answer.code == 2
    assert "Heron is no kit" in answer.err


def test_a_part_that_is_only_a_label_is_said_to_be_of_its_kit_and_not_kept_as_not_on_record(
    counting: Run,
) -> None:
    assert counting("kit", "add", "Evening kit", "--part", "Counterweight", "--part", "Heron").code == 0
    said = counting("stocktake", "saw", "counterweight").out
    assert said.startswith("counterweight: not ticked, for it is a part of Evening kit.")
    assert counting("stocktake", "saw", "counterweight", "--json").document[0]["of_kits"] == ["Evening kit"]
    shown = counting("stocktake", "show").out
    assert "Not on record" not in shown
    assert counting("kit", "retire", "Evening kit").code == 0
    assert "not on record; kept as it is" in counting("stocktake", "saw", "counterweight").out
    assert "Not on record:\nas typed\tseen at\ncounterweight" in counting("stocktake", "show").out
