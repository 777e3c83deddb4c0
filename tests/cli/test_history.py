"""The history on the screen: aligned in 80 columns, in either look, and for scripts; and undoing by a reference."""

import re
import stat
from pathlib import Path
from uuid import UUID

import pytest

from tests.cli.program import Program, Terminal

ESCAPE = "\x1b[31m"
STYLE = re.compile(r"\x1b\[[0-9;]*m")


def shown(program: Program, *words: str) -> list[str]:
    """The lines that a terminal gets."""
    program.environment |= {"TERM": "xterm", "OBSLOG_PAGER": "cat"}
    program.terminal = Terminal()
    assert program(*words).code == 0
    text = program.terminal.getvalue()
    program.terminal = None
    return text.splitlines()


@pytest.fixture
def edited(in_club: Program) -> Program:
    in_club.environment["OBSLOG_ME"] = "Ines"
    in_club.must("member", "edit", "Bram Ostler", "--note", "tall")
    in_club.must(
        "mount", "edit", "Heron", "--note", "sticks in the cold, when it has stood outside for a while"
    )
    in_club.must("mount", "edit", "Heron", "--note", f"works {ESCAPE} again")
    return in_club


def test_the_newest_acts_are_listed_with_who_and_when(edited: Program) -> None:
    lines = edited.must("history", "--most", "2").out.splitlines()
    assert lines[0].split("\t") == ["when (UTC)", "reference", "who", "act"]
    assert [line.split("\t")[2:] for line in lines[1:]] == [["Ines", "edit mount Heron"]] * 2
    newest = edited.must("history", "--most", "1", "--json").document
    assert newest[0] == {
        "reference": lines[1].split("\t")[1],
        "at_utc": "2026-03-02T21:40:00Z",
        "who": "Ines",
        "origin": newest[0]["origin"],
        "act": "edit mount Heron",
        "undone_utc": None,
        "undoes": None,
    }


def test_the_life_of_a_record_is_told_in_words_and_nothing_steers_the_terminal(edited: Program) -> None:
    answer = edited.must("history", "heron")
    assert "note\tsticks in the cold, when it has stood outside for a while → works" in answer.out
    assert "\x1b" not in answer.out
    document = edited.must("history", "heron", "--json").document
    assert document["record"] == "mount Heron"
    assert document["entries"][-1]["fields"] == [
        {
            "field": "note",
            "before": "sticks in the cold, when it has stood outside for a while",
            "after": f"works {ESCAPE} again",
        }
    ]


@pytest.mark.parametrize("look", [[], ["--plain"], ["--red"]])
@pytest.mark.parametrize("columns", [80, 40])
def test_no_line_is_longer_than_the_terminal(
    edited: Program, monkeypatch: pytest.MonkeyPatch, look: list[str], columns: int
) -> None:
    act = edited.must("history", "--json").document[0]["reference"]
    monkeypatch.setenv("COLUMNS", str(columns))
    for words in ([], ["heron"], [act]):
        lines = shown(edited, *look, "history", *words)
        assert max(len(STYLE.sub("", line)) for line in lines) <= columns


def test_an_act_in_the_middle_is_taken_back_by_its_reference(edited: Program) -> None:
    acts = edited.must("history", "--json").document
    reference = next(line["reference"] for line in acts if line["act"] == "edit member Bram Ostler")
    assert edited.must("undo", reference).out == "Undone: edit member Bram Ostler\n"
    assert edited.must("member", "show", "Bram Ostler", "--json").document["note"] is None
    told = edited.must("history", reference).out
    assert "edit member Bram Ostler (undone)" in told
    assert "note\tunknown → tall" in told
    again = edited("undo", reference)
    assert (again.code, again.error_lines[0]) == (1, "The act (edit member Bram Ostler) is undone already.")


def test_what_depends_on_it_is_said_with_what_to_do(edited: Program) -> None:
    first, second = (
        line["reference"] for line in reversed(edited.must("history", "--json", "--most", "2").document)
    )
    refused = edited("undo", first)
    assert refused.code == 1
    assert refused.error_lines == [
        "The act (edit mount Heron) cannot be undone: something newer depends on it: edit mount Heron.",
        f"Nothing was changed. Take that back first: obslog undo {second}",
    ]


@pytest.mark.parametrize("words", [("undo", "nessie"), ("undo", "000000"), ("history", "nessie")])
def test_what_is_not_there_is_said_in_two_lines(edited: Program, words: tuple[str, ...]) -> None:
    refused = edited(*words)
    assert refused.code in (1, 2)
    assert len(refused.error_lines) == 2


def test_an_import_is_taken_back_and_done_again(in_club: Program, tmp_path: Path) -> None:
    sheet = tmp_path / "march.csv"
    sheet.write_text(
        "night,site,mount,role,utc,target\n2026-03-01,Mill Field,Heron,sync,2026-03-01T20:00:00Z,Vega\n"
    )
    in_club.must("import", "arrivals", str(sheet))
    assert len(in_club.must("night", "list", "--json").document) == 1
    assert in_club.must("undo").out == f"Undone: import {sheet.name}\n"
    assert in_club.must("night", "list", "--json").document == []
    assert in_club.must("redo").out == f"Done again: import {sheet.name}\n"
    assert in_club.must("night", "list", "--json").document[0]["arrivals"] == 1


def test_a_name_of_a_file_cannot_begin_a_line_of_its_own(in_club: Program, tmp_path: Path) -> None:
    sheet = tmp_path / "march\nUndone.csv"
    sheet.write_text(
        "night,site,mount,role,utc,target\n2026-03-01,Mill Field,Heron,sync,2026-03-01T20:00:00Z,Vega\n"
    )
    in_club.must("import", "arrivals", str(sheet))
    act = in_club.must("history", "--most", "1", "--json").document[0]
    told = in_club.must("history", act["reference"]).out.splitlines()
    assert told[0].endswith(f"import march Undone.csv ({act['reference']})")


def test_the_machine_is_told_by_a_key_that_it_keeps_for_itself(in_club: Program) -> None:
    in_club.must("member", "add", "Cleo Marsh")
    path = Path(in_club.environment["OBSLOG_CONFIG"]) / "origin"
    key = UUID(path.read_text().strip())
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    in_club.must("member", "add", "Dov Levin")
    told = in_club.must("history", "--most", "2", "--json").document
    assert [line["origin"] for line in told] == [key.hex[-6:]] * 2
    in_club.environment["OBSLOG_ORIGIN"] = "018f22e2-79b0-7cc3-98c4-dc0c0c07398f"
    in_club.must("member", "add", "Edda Holm")
    assert in_club.must("history", "--most", "1", "--json").document[0]["origin"] == "07398f"


def test_settings_that_cannot_be_read_hinder_nobody_from_writing(in_club: Program) -> None:
    folder = Path(in_club.environment["OBSLOG_CONFIG"])
    folder.mkdir(exist_ok=True)
    (folder / "settings.json").write_text("{")
    in_club.must("mount", "edit", "Heron", "--note", "new")
    assert in_club.must("history", "--most", "1", "--json").document[0]["who"] is None


def test_an_empty_history_says_how_to_begin(program: Program) -> None:
    answer = program.must("history")
    assert (answer.out, answer.error_lines[-1]) == ("", "Nothing is on record yet. Begin here: obslog start")


def test_a_set_up_from_a_sheet_is_called_by_its_mount_and_a_loan_by_what_is_lent(
    in_club: Program, tmp_path: Path
) -> None:
    sheet = tmp_path / "arrivals.csv"
    sheet.write_text(
        "night,site,mount,setup,utc,role,target,offset_east_arcmin,offset_north_arcmin,landing\n"
        "2026-02-20,Mill Field,Heron,1,2026-02-20T20:00:00Z,sync,Vega,,,\n"
    )
    in_club.must("import", "arrivals", str(sheet))
    told = in_club.must("history", in_club.document("history")[0]["reference"])
    setup = next(line for line in told.out.splitlines() if line.startswith("set-up"))
    assert re.fullmatch(r"set-up 1 of Heron \([0-9a-f]{6}\)", setup)
    in_club.must("loan", "out", "Wide 25", "Ines")
    told = in_club.must("history", in_club.document("history")[0]["reference"])
    loan = next(line for line in told.out.splitlines() if line.startswith("loan "))
    assert re.fullmatch(r"loan of Wide 25, \d{4}-\d\d-\d\d \([0-9a-f]{6}\)", loan)
    life = in_club.document("history", loan[-7:-1])
    assert [entry["what"] for entry in life["entries"]] == [
        "added"
    ]  # though who issued it is written after it
