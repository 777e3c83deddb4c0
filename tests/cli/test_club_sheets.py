"""A club's own sheets through the program: what a person sees, what a script gets, and who is told what."""

import json
from pathlib import Path

import pytest
from openpyxl import Workbook

from obslog.cli.club_sheets import KINDS
from tests.cli.program import Program


@pytest.fixture
def items(tmp_path: Path) -> Path:
    path = tmp_path / "items.csv"
    path.write_text("Item,Type,Inventory no,Colour\nWren,mount,C-1,green\nHeron,,C-2,\n", encoding="utf-8")
    return path


def test_a_look_shows_each_row_and_changes_nothing(in_club: Program, items: Path) -> None:
    answer = in_club("import", "items", str(items), "--look")
    assert answer.code == 0
    assert answer.out.splitlines() == [
        "row\titem\tis\twith",
        "2\tWren\tnew\tmount; still to be told: mount_type, controller",
        "3\tHeron\tchanged\ttag C-2",
        "items.csv: 1 item would be new, 1 would be changed; 0 on record as they are.",
    ]
    assert "Left out: the column 'Colour'." in answer.err
    assert "Nothing was changed. The same command without --look brings it in." in answer.err
    assert "Wren" not in in_club("mount", "list").out


def test_it_is_brought_in_and_one_undo_takes_it_back(in_club: Program, items: Path) -> None:
    brought_in = in_club("import", "items", str(items))
    assert brought_in.out == "items.csv: 1 item new, 1 changed; 0 on record as they are.\n"
    assert "still to be told of them, and with which command: obslog officer health" in brought_in.err
    assert "Wren" in in_club("mount", "list").out
    assert in_club("import", "items", str(items)).out == (
        "items.csv: 0 items new, 0 changed; 2 on record as they are.\n"
    )
    assert "mounts without a type or controller" in in_club("officer", "health").out
    assert "import items items.csv" in in_club("undo").out
    assert "Wren" not in in_club("mount", "list").out


def test_a_sheet_of_items_or_kits_leaves_out_what_is_gone_and_says_so(in_club: Program) -> None:
    for line in (
        ["item", "add", "Old case"],
        ["store", "write-off", "Old case", "--why", "fell"],
        ["item", "add", "Old lamp"],
        ["item", "retire", "Old lamp"],
        ["kit", "add", "Old kit"],
        ["kit", "retire", "Old kit"],
        ["kit", "add", "Big kit"],
    ):
        assert in_club(*line).code == 0
    items, kits = in_club("export", "items"), in_club("export", "kits")
    assert "Old case" not in items.out
    assert "Old lamp" not in items.out
    assert "Heron" in items.out
    assert items.err == "Left out: 2 items retired or written off.\n"
    assert "Old kit" not in kits.out
    assert "Big kit" in kits.out
    assert kits.err == "Left out: 1 kit retired or written off.\n"
    as_json = in_club("export", "items", "--json")
    assert ("Old case" in as_json.out, as_json.err) == (False, "")
    assert in_club("export", "members").err == ""


def test_a_sheet_with_a_fault_is_refused_whole_with_every_fault(in_club: Program, items: Path) -> None:
    items.write_text("name,kind,price\nWren,mount,cheap\nTeal,mount,5\n", encoding="utf-8")
    answer = in_club("import", "items", str(items))
    assert answer.code == 2
    assert answer.error_lines[:3] == [
        "items.csv: 1 row is wrong, so nothing was imported.",
        "  row 2: cost: 'cheap' is not a number. Write it like 890.00.",
        "Correct the rows and import the file again; what is on record already is not added twice.",
    ]
    assert "Teal" not in in_club("mount", "list").out
    looked = in_club("import", "items", str(items), "--look")
    assert "row 2: cost: 'cheap' is not a number." in looked.out
    assert "Nothing was changed, and nothing can be before 1 row is put right." in looked.err


def test_scripts_get_the_rows_and_the_faults(in_club: Program, items: Path) -> None:
    told = json.loads(in_club("import", "items", str(items), "--look", "--json").out)
    assert (told["new"], told["changed"], told["same"], told["looked_only"]) == (1, 1, 0, True)
    assert told["rows"][0] == {
        "line": 2,
        "what": "Wren",
        "outcome": "new",
        "words": "mount; still to be told: mount_type, controller",
    }
    assert told["left_out"] == {"Colour": None}


@pytest.mark.parametrize("kind", KINDS)
def test_the_columns_are_shown_and_a_blank_sheet_has_them(
    in_club: Program, kind: str, tmp_path: Path
) -> None:
    shown = in_club("import", kind, "--columns").out
    told = json.loads(in_club("import", kind, "--columns", "--json").out)
    blank = tmp_path / f"{kind}.csv"
    in_club("import", kind, "--blank", str(blank))
    heads = blank.read_text(encoding="utf-8-sig").splitlines()[0].split(",")
    assert [column["column"] for column in told] == heads
    assert all(f"\n{head}\t" in shown for head in heads)


@pytest.mark.parametrize("kind", KINDS)
def test_without_a_sheet_it_says_what_to_name(in_club: Program, kind: str) -> None:
    answer = in_club("import", kind)
    assert answer.code == 2
    assert f"obslog import {kind} --columns" in answer.err


def test_how_members_are_reached_leaves_with_the_officer_alone(in_club: Program, tmp_path: Path) -> None:
    in_club("member", "contact", "Ines", "--phone", "01632 960 123")
    assert "01632" not in in_club("export", "members").out
    assert "01632" in in_club("export", "members", "--officer").out


def test_a_sheet_of_loans_is_the_officers(in_club: Program) -> None:
    in_club("loan", "out", "Heron", "Ines")
    answer = in_club("export", "loans")
    assert (answer.code, answer.out) == (1, "")
    assert "--officer" in answer.err
    assert "Heron,Ines," in in_club("export", "loans", "--officer").out


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_an_exported_file_changes_nothing_when_it_comes_back(
    in_club: Program, tmp_path: Path, ending: str
) -> None:
    file = tmp_path / f"items.{ending}"
    assert f"7 items written to {file}" in in_club("export", "items", str(file)).err
    assert in_club("import", "items", str(file)).out.endswith(
        "0 items new, 0 changed; 7 on record as they are.\n"
    )


def test_a_file_that_is_there_is_not_written_over(in_club: Program, items: Path) -> None:
    before = items.read_text()
    assert in_club("export", "items", str(items)).code == 1
    assert in_club("import", "items", "--blank", str(items)).code == 1
    assert items.read_text() == before


def test_from_nothing_to_lending_on_a_sunday_evening_in_ten_commands(
    program: Program, tmp_path: Path
) -> None:
    """Lists as a club has them: titles, merged cells, days in three styles, semicolons, a kit over several rows."""
    book = Workbook()
    sheet = book.active
    for row in (
        ["Equipment"],
        [],
        ["Item", "Type", "Tag no", "Date bought", "Price", "Location"],
        ["Silver Heron", "Mount", "C-1", "12/05/2019", "£890", "Shelf A"],
        ["Long tube", "Telescope", "C-2", "13.5.2019", "1,200", None],
        ["Lead battery", "Battery", "C-3", "Mar 3, 2021", "45,50 €", "Cupboard"],
    ):
        sheet.append(row)
    sheet.merge_cells("A1:F1")
    book.save(tmp_path / "items.xlsx")
    texts = {
        "members": "Our members,\nFull name,E-Mail\nInes Okafor,ines@example.org\nBram Ostler,\n",
        "kits": "Kit;Contents;Days\nBig kit;Silver Heron;28\nBig kit;Long tube;\nBig kit;dust cap;\n",
        "loans": "Item,Borrower,Out,Due,Returned\nLead battery,Bram Ostler,20/2/2026,,\n"
        "Big kit,Bram Ostler,1/9/2025,29/9/2025,20/9/2025\n",
    }
    for kind, text in texts.items():
        (tmp_path / f"{kind}.csv").write_text(text, encoding="utf-8")
    commands = [
        ["import", "members", str(tmp_path / "members.csv")],
        ["import", "items", str(tmp_path / "items.xlsx")],
        ["import", "kits", str(tmp_path / "kits.csv")],
        ["import", "loans", str(tmp_path / "loans.csv")],
        ["loan", "out", "Big kit", "Ines Okafor"],
    ]
    for command in commands:
        program.must(*command)
    assert len(commands) <= 10
    lent = {
        (loan["what"], loan["member"])
        for loan in program.must("loan", "list", "--officer", "--json").document
    }
    assert lent == {("Lead battery", "Bram Ostler"), ("Big kit", "Ines Okafor")}
