"""Purchases wanted at the keyboard, from the database to the sentence."""

from pathlib import Path

import pytest

from tests.cli.program import Program
from tests.report.forms.drawn import outside_the_page, pages_of, text_of, texts_over_texts


@pytest.fixture
def store(in_club: Program) -> Program:
    """An eyepiece with Ines, for which Bram has waited since 20 February; a tube written off; a mount missing."""
    in_club.must("rule", "set", "currency", "EUR")
    in_club.must("loan", "out", "Wide 25", "Ines", "--on", "2026-02-01", "--due", "2026-03-20")
    in_club.must("loan", "reserve", "Wide 25", "Bram Ostler")
    in_club.must("store", "note", "Long tube", "--value", "400")
    in_club.must("store", "write-off", "Long tube", "--why", "fell over")
    in_club.must("store", "missing", "Bracken", "--on", "2025-11-01")
    return in_club


def test_what_is_wanted_is_told_with_its_evidence(store: Program) -> None:
    answer = store.must("officer", "wanted")
    lines = answer.out.splitlines()
    assert lines[:8] == [
        "1. another eyepiece like Wide 25",
        "    1 member waits, the longest for 0 days; 1 member asked in two years",
        "    not sure: only 1 member asked in two years",
        "    costs: not known",
        "2. a tube in place of Long tube",
        "    written off on 2026-03-02 (fell over), and not replaced",
        "    not sure: nobody borrowed it in the year before",
        "    costs: EUR 400.00",
    ]
    assert "    missing since 2025-11-01, 121 days" in lines  # 29 + 31 + 31 + 28 + 2
    assert "3 purchases; 1 would cost EUR 400.00, of the others it is not on record." in lines
    assert "Bram" not in answer.out


def test_a_kit_of_which_nothing_is_there_is_not_to_be_lent(in_club: Program) -> None:
    in_club.must("kit", "add", "Pair", "--part", "Wide 25", "--part", "Long tube")
    in_club.must("loan", "reserve", "Pair", "Bram Ostler")
    in_club.must("loan", "out", "Wide 25", "Ines")
    assert "Pair: 1 member waits, but it is in the store." in in_club.must("officer", "wanted").out
    in_club.must("store", "missing", "Long tube")
    answer = " ".join(in_club.must("officer", "wanted").out.split())
    assert "1. another Pair 1 member waits" in answer
    assert "all its parts are lent by themselves or missing: back together it may be enough" in answer
    assert "Lend it" not in answer


def test_a_kit_whose_parts_are_gone_is_not_said_to_come_back_together(in_club: Program) -> None:
    def doubts(kit: str) -> list[str]:
        (found,) = [one for one in in_club.document("officer", "wanted")["wanted"] if one["like"] == kit]
        return [doubt for doubt in found["doubts"] if "enough" in doubt]

    in_club.must("kit", "add", "Pair", "--part", "Wide 25", "--part", "Long tube")
    in_club.must("kit", "add", "Bare kit")
    in_club.must("loan", "reserve", "Pair", "Bram Ostler")
    in_club.must("loan", "reserve", "Bare kit", "Bram Ostler")
    in_club.must("store", "write-off", "Long tube", "--why", "fell over")
    in_club.must("loan", "out", "Wide 25", "Ines")
    assert doubts("Pair") == [
        "all its parts are lent by themselves or written off: another part may be enough"
    ]
    in_club.must("loan", "back", "Wide 25")
    in_club.must("store", "write-off", "Wide 25", "--why", "fell too")
    assert doubts("Pair") == ["all its parts are written off: another part may be enough"]
    assert doubts("Bare kit") == ["it has no parts on record: with them it may be enough"]


def test_the_document_has_the_numbers(store: Program) -> None:
    found = store.document("officer", "wanted")
    first = found["wanted"][0]
    assert (first["waiting"], first["longest_wait_days"], first["sure"], first["why"]) == (
        1, 0, False, ["waited for"],
    )  # fmt: skip
    assert (found["costs"], found["costs_unknown"], found["currency"]) == (400.0, 2, "EUR")


def test_the_clubs_rules_decide(store: Program) -> None:
    store.must("rule", "set", "wanted-fewest-members", "1")
    store.must("rule", "set", "wanted-missing-days", "122")
    found = store.document("officer", "wanted")
    assert [(one["like"], one["sure"]) for one in found["wanted"]] == [
        ("Wide 25", True),
        ("Long tube", False),
    ]
    assert found["missing_lately"] == 1


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_sheet_has_all_of_it_and_nothing_lies_over_anything(
    store: Program, tmp_path: Path, paper: str
) -> None:
    path = tmp_path / "wanted.pdf"
    assert store.must("officer", "wanted", "--out", str(path), "--paper", paper).err == f"Written: {path}\n"
    text = " ".join(text_of(path.read_bytes()).split())
    assert "written off on 2026-03-02 (fell over), and not replaced" in text
    for page in pages_of(path.read_bytes()):
        assert outside_the_page(page) == []
        assert texts_over_texts(page) == []
    store.must("officer", "wanted", "--out", str(tmp_path / "wanted.html"))
    answer = store("officer", "wanted", "--out", str(tmp_path / "wanted.csv"))
    assert (answer.code, len(answer.error_lines)) == (2, 2)
