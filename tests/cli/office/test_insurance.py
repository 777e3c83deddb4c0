"""The insurer's list at the keyboard, from the database to the sentence, in each form."""

import csv
import stat
from pathlib import Path

import pytest

from tests.cli.program import Program, written_once
from tests.report.forms.drawn import outside_the_page, pages_of, text_of, texts_over_texts


@pytest.fixture
def store(in_club: Program) -> Program:
    """Heron valued at 900 by Tomasz and on loan to Ines; an eyepiece worth nothing; a fork written off."""
    return written_once(in_club, type_store)


def type_store(program: Program) -> None:
    program.must("rule", "set", "currency", "EUR")
    program.must("store", "note", "Heron", "--tag", "M-1", "--value", "900", "--valued-by", "Tomasz")
    program.must(
        "store", "note", "Wide 25", "--value", "0.5", "--valued-on", "2025-07-01", "--place", "shelf 2"
    )
    program.must("loan", "out", "Heron", "Ines")
    program.must("store", "write-off", "Bracken", "--why", "burnt")


SUM = (
    "6 items, worth EUR 900.50 together; 4 of them are not in that sum, for the value is not known. "
    "Left out: 1 item written off."
)


def test_the_screen_has_each_item_the_sum_and_no_name(store: Program) -> None:
    shown = store.must("officer", "insurance").out
    assert SUM in shown
    assert "M-1\tHeron\t\t\t\tEUR 900.00\ton 2026-03-02\t\ton loan\n" in shown
    assert "Wide 25\t\t\t\tEUR 0.50\ton 2025-07-01\t\tshelf 2\n" in shown
    assert "with 1 member\t1\tEUR 900.00\t\n" in shown
    assert "Stop 20\t\t\t\tnot known\t" in shown
    for name in ("Ines", "Tomasz", "Bracken"):
        assert name not in shown
    told = store.must("officer", "insurance", "--officer").out
    assert "with Ines\t1\tEUR 900.00\t\n" in told
    assert "EUR 900.00\ton 2026-03-02, Tomasz\t" in told


def test_the_document_has_the_totals(store: Program) -> None:
    found = store.document("officer", "insurance")
    assert (found["currency"], found["total"]["value"], found["total"]["unknown"]) == ("EUR", 900.5, 4)
    assert [(total["name"], total["items"], total["value"]) for total in found["by_place"]] == [
        ("shelf 2", 1, 0.5),
        ("no place on record", 4, None),
        ("on loan", 1, 900.0),
    ]
    assert [item["holder"] for item in found["items"]] == [None] * 6
    assert store.document("officer", "insurance", "--officer")["items"][0]["holder"] == "Ines"


def test_a_pdf_a_page_and_a_sheet_are_their_owners_alone(store: Program, tmp_path: Path) -> None:
    for ending in ("pdf", "html", "csv"):
        path = tmp_path / f"list.{ending}"
        answer = store.must("officer", "insurance", "--out", str(path), "--officer")
        assert (answer.out.splitlines()[0], answer.err) == (SUM, f"Written: {path}\n")
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    content = (tmp_path / "list.pdf").read_bytes()
    assert "6 items, worth EUR 900.50 together" in " ".join(text_of(content).split())
    for page in pages_of(content):
        assert outside_the_page(page) == []
        assert texts_over_texts(page) == []
    html = (tmp_path / "list.html").read_text(encoding="utf-8")
    assert SUM in html
    assert "with Ines" in html
    with (tmp_path / "list.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(row["name"], row["holder"]) for row in rows][:2] == [("Heron", "Ines"), ("Lead battery", "")]


def test_another_file_is_left_and_a_list_of_before_written_over(store: Program, tmp_path: Path) -> None:
    for ending in ("pdf", "csv"):
        path = tmp_path / f"mine.{ending}"
        path.write_text("mine")
        answer = store("officer", "insurance", "--out", str(path))
        assert (answer.code, len(answer.error_lines)) == (1, 2)
        assert path.read_text() == "mine"
        store.must("officer", "insurance", "--out", str(path), "--overwrite")
    store.must("officer", "insurance", "--out", str(tmp_path / "mine.pdf"))
    answer = store("officer", "insurance", "--out", str(tmp_path / "list.txt"))
    assert (answer.code, answer.error_lines[1]) == (2, "Name a file that ends in .pdf, .html or .csv.")


def test_the_clubs_rule_of_depreciation_is_told_with_what_it_comes_to(store: Program) -> None:
    store.must("store", "note", "Heron", "--cost", "1000", "--acquired-on", "2024-03-02")
    store.must("rule", "set", "depreciation-percent", "10")
    shown = store.must("officer", "insurance").out
    # Two years to the day: 1000 * 0.9 * 0.9.
    assert (
        "By the club's rule (10 % a year of what is left) the cost, from the day each item came, is written"
        in shown
    )
    assert "to EUR 810.00 on 2026-03-02. 5 items are not in that sum" in shown
    assert SUM in shown
    answer = store("rule", "set", "depreciation-years", "5")
    assert (answer.code, len(answer.error_lines)) == (2, 2)
