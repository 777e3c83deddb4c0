"""Kits, read back from the screen at every width and held against records made by hand."""

from datetime import date
from typing import Any

from obslog.cli.storeroom.kit import show_kits, show_page
from obslog.club.storeroom.kits import KitPage, PartLine
from tests.cli.screens import shown_by


def a_kit(name: str = "Kit 1", **changed: Any) -> KitPage:
    values: dict[str, Any] = {
        "name": name, "loan_days": 42, "weight_kg": 7.5, "with_whom": None, "due_on": None, "complete": True,
        "parts": [PartLine("Heron", "mount", "in the store", True), PartLine("dust cap", None, "missing", False)],
        "note": None, "retired_on": None,
    }  # fmt: skip
    return KitPage(**(values | changed))


def test_a_kit_is_told_with_its_term_its_weight_and_where_its_parts_are() -> None:
    for shown in shown_by(lambda screen: show_page(screen, a_kit())):
        assert shown.words.startswith("Kit 1: complete; lent for 42 days; 7.5 kg ")
        assert [list(row.values()) for row in shown.rows("part", "kind", "where")] == [
            ["Heron", "mount", "in the store"], ["dust cap", "", "missing"],
        ]  # fmt: skip
    bare = a_kit(loan_days=None, weight_kg=None, complete=False)
    for shown in shown_by(lambda screen: show_page(screen, bare)):
        assert shown.words.startswith("Kit 1: not complete; lent for the club's usual term ")
        assert "kg" not in shown.words


def test_a_term_of_one_day_is_one_day() -> None:
    for shown in shown_by(lambda screen: show_page(screen, a_kit(loan_days=1))):
        assert "lent for 1 day;" in shown.words


def test_a_retired_kit_says_so_and_nothing_of_its_lending() -> None:
    """It said "complete; lent for 28 days"."""
    retired = a_kit(retired_on=date(2026, 2, 3), loan_days=28)
    for shown in shown_by(lambda screen: show_page(screen, retired)):
        assert shown.words.startswith("Kit 1: retired on 2026-02-03; 7.5 kg ")
        assert "complete" not in shown.words
        assert "lent" not in shown.words


def test_the_note_of_a_kit_is_told() -> None:
    for shown in shown_by(lambda screen: show_page(screen, a_kit(note="the strap is frayed"))):
        assert "note the strap is frayed" in shown.words
    for shown in shown_by(lambda screen: show_page(screen, a_kit())):
        assert "note" not in shown.words


def test_a_kit_that_is_out_says_until_when() -> None:
    out = a_kit(due_on=date(2026, 3, 11), with_whom="Noor")
    for shown in shown_by(lambda screen: show_page(screen, out)):
        assert "2026-03-11" in shown.words
        assert "Noor" in shown.words


def test_the_kits_are_listed_with_how_many_parts_they_have() -> None:
    kits = [a_kit(with_whom="Noor", due_on=date(2026, 3, 11)), a_kit("Kit 2", complete=False, parts=[])]
    for shown in shown_by(lambda screen: show_kits(screen, kits, officer=True)):
        assert [list(row.values()) for row in shown.rows("kit", "parts", "complete", "with", "due")] == [
            ["Kit 1", "2", "yes", "Noor", "2026-03-11"], ["Kit 2", "0", "no", "", ""],
        ]  # fmt: skip
    for shown in shown_by(lambda screen: show_kits(screen, kits, officer=False)):
        assert [list(row.values()) for row in shown.rows("kit", "parts", "complete", "due")] == [
            ["Kit 1", "2", "yes", "2026-03-11"], ["Kit 2", "0", "no", ""],
        ]  # fmt: skip
        assert "Noor" not in shown.words
    for shown in shown_by(lambda screen: show_kits(screen, [], officer=False)):
        assert (shown.out, shown.notes) == ("", "There is no kit yet. Add one: obslog kit add --help")
