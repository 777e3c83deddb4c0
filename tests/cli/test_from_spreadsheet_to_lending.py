"""An officer comes with an untidy workbook on a Sunday evening: from nothing to lending in at most ten commands."""

from datetime import date
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from tests.cli.program import Answer, Program

EQUIPMENT = (
    ("1", "Blue Newtonian", "Telescope", "own make", "12/5/2014", "£350", "cupboard", None, "recoated 2019"),
    ("2", "Heavy mount", "EQ mount", "?", "23.10.2016", "£1,200", "cupboard", None, None),
    ("3", "Little refractor", "refractor", None, "2019", "£180", None, "J. Hartley", "since September"),
    ("4", "25mm", "Eyepiece", None, None, "40", "box A", None, None),
    ("5", "25mm", "eyepiece", None, None, "40", "box A", None, "the scratched one"),
    (),
    ("7", "Battery", "power", None, "4 March 2021", "£60", "shelf", None, None),
    ("9", "Goto alt-az", "mount", None, date(2020, 6, 1), "£499", "cupboard", "Mary Okafor", None),
)  # fmt: skip
MEMBERS = (
    ("Hartley, John", "01632 960111", "john@example.org"),
    ("Mary Okafor", "01632 960222", None),
    ("mary okafor", None, "mary@example.org"),
)
LOANS = (
    ("Little refractor", "John Hartley", "14/9/2025", "14/12/2025", None),
    ("Goto alt-az", "Mary Okafor", date(2026, 2, 1), date(2026, 3, 1), None),
    ("Blue Newtonian", "Mary Okafor", "1.3.25", "1.4.25", "28.3.25"),
)


@pytest.fixture
def workbook(tmp_path: Path) -> Path:
    """Merged heads, dates in four styles, an empty row, a name twice, and loans in a third sheet."""
    book = Workbook()
    equipment = book.active
    assert equipment is not None
    equipment.title = "Equipment"
    equipment["A1"] = "EQUIPMENT of the club (do not delete!!)"
    equipment.merge_cells("A1:I1")
    equipment.append(
        ["No.", "Description", "Type", "Make/Model", "Bought", "Price", "Where", "Who has it", "Remarks"]
    )
    for name, rows in (
        ("Members", (("Name", "Tel", "E-mail"), *MEMBERS)),
        ("Loans", (("Item", "Borrower", "Date out", "Due", "Returned"), *LOANS)),
    ):
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    for line in EQUIPMENT:
        equipment.append(line)
    path = tmp_path / "club.xlsx"
    book.save(path)
    return path


def mend(path: Path, sheet: str, cells: dict[str, object]) -> None:
    """What the officer types into the workbook."""
    book = load_workbook(path)
    for cell, value in cells.items():
        book[sheet][cell] = value
    book.save(path)


def test_an_untidy_workbook_comes_in_and_something_is_lent_in_at_most_ten_commands(
    program: Program, workbook: Path
) -> None:
    typed: list[str] = []

    def command(*words: str) -> Answer:
        typed.append(" ".join(words))
        return program(*words)

    def faults(answer: Answer) -> list[str]:
        assert answer.code == 2
        return [line.strip().partition(":")[0] for line in answer.error_lines if line.startswith("  row")]

    equipment = ("import", "items", str(workbook), "--sheet", "Equipment")
    assert faults(command(*equipment)) == ["row 5", "row 7"]
    mend(workbook, "Equipment", {"E5": None, "B7": "25mm (5)"})
    assert command(*equipment).code == 0
    assert command("import", "members", str(workbook), "--sheet", "Members").code == 0
    loans = ("import", "loans", str(workbook), "--sheet", "Loans")
    answer = command(*loans)
    assert faults(answer) == ["row 2"]
    assert "Is it Hartley, John?" in answer.err
    mend(workbook, "Loans", {"B2": "Hartley, John"})
    assert command(*loans).code == 0
    assert command("loan", "out", "Blue Newtonian", "Mary Okafor").code == 0
    assert len(typed) <= 10

    store = {line["name"]: line for line in program.document("store", "list")["items"]}
    assert set(store) == {
        "Blue Newtonian", "Heavy mount", "Little refractor", "25mm", "25mm (5)", "Battery", "Goto alt-az",
    }  # fmt: skip
    assert (store["Heavy mount"]["acquired_on"], store["Heavy mount"]["cost"]) == ("2016-10-23", 1200)
    assert store["Blue Newtonian"]["acquired_on"] == "2014-05-12"
    assert store["Battery"]["acquired_on"] == f"{date(2021, 3, 4)}"
    out = {line["what"] for line in program.document("loan", "list")}
    assert out == {"Little refractor", "Goto alt-az", "Blue Newtonian"}
    assert len(program.document("member", "list")) == 2
