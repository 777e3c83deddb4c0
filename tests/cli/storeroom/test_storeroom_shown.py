"""Loans and the store-room, read back at every width and held against records made by hand."""

from dataclasses import replace
from datetime import date
from typing import Any
from uuid import UUID

import pytest

from obslog.cli.storeroom.loan_options import show_loan_page
from obslog.cli.storeroom.loan_show import show_loans
from obslog.cli.storeroom.store_show import list_document, show_list, show_page
from obslog.club.storeroom.custody import StoreStatus
from obslog.club.storeroom.inventory_details import Valuation
from obslog.club.storeroom.item_history import Event
from obslog.club.storeroom.loan_pages import LoanLine, LoanPage, LoanPartLine
from obslog.club.storeroom.proof_files import ReceiptLine
from obslog.club.storeroom.store_list import StoreLine, StoreList, Worth
from obslog.club.storeroom.store_page import StorePage
from obslog.club.upkeep.services_due import DueBy, DueService
from obslog.vocabulary.storeroom import Condition
from tests.cli.screens import Row, Shown, shown_by

LOANS = ("reference", "item", "member", "out", "due", "back", "days left", "", "waiting")


def a_loan(n: int, **changed: Any) -> LoanLine:
    values: dict[str, Any] = {
        "reference": f"ref{n}", "what": f"Kit {n}", "kind": "kit", "member": "Noor", "out_on": date(2026, 2, 10 + n),
        "due_on": date(2026, 3, 10 + n), "back_on": None, "days_left": 8 + n, "overdue": False, "due_soon": False,
        "renewals": 0, "waiting": 0,
    }  # fmt: skip
    return LoanLine(**(values | changed))


def without_empty(row: Row) -> Row:
    return {name: cell for name, cell in row.items() if cell}


@pytest.mark.parametrize("officer", [True, False])
def test_the_loans_stand_in_their_order_with_days_and_states(officer: bool) -> None:
    loans = [
        a_loan(0, days_left=-3, overdue=True, due_soon=True, waiting=2), a_loan(1, days_left=2, due_soon=True),
        a_loan(2), a_loan(3, back_on=date(2026, 3, 1), days_left=None), a_loan(4, days_left=0, due_soon=True),
    ]  # fmt: skip
    columns = [name for name in LOANS if officer or name != "member"]
    for shown in shown_by(lambda screen: show_loans(screen, loans, officer)):
        rows = shown.rows(*columns)
        assert [row["item"] for row in rows] == [f"Kit {n}" for n in range(5)]
        assert [row["reference"] for row in rows] == [f"ref{n}" for n in range(5)]
        assert [row["out"] for row in rows] == [f"2026-02-{10 + n}" for n in range(5)]
        assert [row["due"] for row in rows] == [f"2026-03-{10 + n}" for n in range(5)]
        assert [row["back"] for row in rows] == ["", "", "", "2026-03-01", ""]
        assert [row["days left"] for row in rows] == ["-3", "2", "10", "", "0"]
        assert [row[""] for row in rows] == ["overdue", "due soon", "", "", "due"]
        assert [row["waiting"] for row in rows] == ["2", "", "", "", ""]
        assert ("Noor" in shown.words) == officer
    for shown in shown_by(lambda screen: show_loans(screen, [], officer)):
        assert (shown.out, shown.notes) == ("", "No loan to show. To lend something: obslog loan out --help")


def a_part(name: str, **changed: Any) -> LoanPartLine:
    values: dict[str, Any] = {
        "part": name, "condition_out": Condition.GOOD, "note_out": "as new", "condition_in": None, "note_in": None,
        "differs": None, "fault": None, "fault_on": None, "came_with_it": None,
    }  # fmt: skip
    return LoanPartLine(**(values | changed))


def a_page(loan: LoanLine, *parts: LoanPartLine, **changed: Any) -> LoanPage:
    values: dict[str, Any] = {
        "key": UUID(int=1), "loan": loan, "parts": list(parts), "left_behind": [], "handed_over_from": None,
        "issued_by": None, "received_by": None, "terms_agreed": None, "trained": None, "deposit": None,
        "deposit_returned": None, "currency": "EUR", "note": None,
    }  # fmt: skip
    return LoanPage(**(values | changed))


def test_a_loan_is_told_part_by_part() -> None:
    parts = [
        a_part("Finder", condition_in=Condition.DAMAGED, note_in="cracked", differs="good, now damaged"),
        a_part("Case", fault="hinge", fault_on=date(2026, 2, 12), came_with_it=True),
        a_part("Lens", fault="scratch", fault_on=date(2026, 2, 19), came_with_it=False),
    ]  # fmt: skip
    page = a_page(
        a_loan(1, renewals=2, waiting=3),
        *parts,
        left_behind=["Cap"],
        deposit=1250.5,
        terms_agreed=True,
        trained=False,
    )
    for shown in shown_by(lambda screen: show_loan_page(screen, page)):
        assert shown.words.startswith("Kit 1: Noor, out 2026-02-11, due 2026-03-11 ")
        finder, case, *_ = shown.rows("part", "out", "in", "difference", "remarks")
        assert list(finder.values()) == ["Finder", "good", "damaged", "good, now damaged", "cracked"]
        assert list(case.values()) == ["Case", "good", "", "", "as new"]
        assert shown.in_order(
            "fault reported on 2026-02-12; not held against the borrower: Case: hinge",
            "fault reported on 2026-02-19: Lens: scratch", "stayed behind: Cap", "reference ref1", "terms agreed yes",
            "trained no", "deposit EUR 1,250.50", "times extended 2", "waiting 3",
        )  # fmt: skip
        assert "note" not in shown.words
        assert "unknown" not in shown.words
    back = a_page(a_loan(1, member=None, back_on=date(2026, 3, 1)), parts[0])
    for shown in shown_by(lambda screen: show_loan_page(screen, back)):
        assert shown.words.startswith("Kit 1: out 2026-02-11, back on 2026-03-01 ")
        for word in ("times extended", "waiting", "deposit", "terms", "trained"):
            assert word not in shown.words


def a_line(name: str, **changed: Any) -> StoreLine:
    values: dict[str, Any] = dict.fromkeys(StoreLine.__slots__)
    values |= {"status": StoreStatus.IN, "kind": "item", "name": name}
    return StoreLine(**(values | changed))


LINES = [
    a_line("Heron", kind="mount", tag="T1", where="shelf 2", value=1250.5),
    a_line(
        "Grey", sort="battery", status=StoreStatus.OUT, where="on loan", due_on=date(2026, 3, 11), value=0.0
    ),
    a_line("Old", status=StoreStatus.WRITTEN_OFF),
]


def test_the_list_has_days_or_values_and_never_a_value_for_what_is_unknown() -> None:
    found = StoreList(LINES, Worth(1250.5, 2, 1), "EUR")
    start = ("status", "kind", "name", "tag", "where")
    for shown in shown_by(lambda screen: show_list(screen, found, values=False)):
        assert [list(row.values()) for row in shown.rows(*start, "due", key=2)] == [
            ["in", "mount", "Heron", "T1", "shelf 2", ""], ["out", "battery", "Grey", "", "on loan", "2026-03-11"],
            ["written off", "item", "Old", "", "", ""],
        ]  # fmt: skip
        assert "in total" not in shown.words
    for shown in shown_by(lambda screen: show_list(screen, found, values=True)):
        rows = shown.rows(*start, "value", key=2)
        assert [row["value"] for row in rows[:3]] == ["EUR 1,250.50", "EUR 0.00", ""]
        assert shown.words.endswith(
            "2 items have a value, in total EUR 1,250.50; for 1 the value is not known."
        )
    for shown in shown_by(
        lambda screen: show_list(screen, StoreList(LINES[:1], Worth(7, 1, 0), None), values=True)
    ):
        assert shown.words.endswith("1 item has a value, in total 7.00.")
    for shown in shown_by(lambda screen: show_list(screen, StoreList([], Worth(0, 0, 0), None), values=True)):
        assert shown.out == ""
        assert shown.notes == "Nothing to show. To put an item into the store-room: obslog item add --help"
    assert list_document(found) == {"items": LINES, "worth": Worth(1250.5, 2, 1), "currency": "EUR"}


def page_shown(page: StorePage) -> list[Shown]:
    return list(shown_by(lambda screen: show_page(screen, page)))


def test_the_page_of_an_item_has_what_is_known_and_its_history_in_order() -> None:
    line = a_line("Grey", sort="battery", status=StoreStatus.OUT, where="on loan", due_on=date(2026, 3, 11),
                  serial="007", cost=35.0, place="shelf 2", acquired_on=date(2024, 5, 1))  # fmt: skip
    due = DueService(name="Grey", kind="item", basis=DueBy.DATE, due_on=None, words="charge it", last_on=None)
    history = [Event(date(2026, 1, 5), "test", "12.6 V"), Event(date(2026, 2, 10), "loan", "went out")]
    page = StorePage(
        papers=line,
        valuation=None,
        photographs=[],
        receipts=[],
        services_due=[due],
        history=history,
        currency="EUR",
    )
    for shown in page_shown(page):
        assert shown.in_order(
            "Grey (battery): out, on loan, due 2026-03-11", "serial 007", "acquired on 2024-05-01", "cost EUR 35.00",
            "place shelf 2", "! Grey: charge it",
        )  # fmt: skip
        assert [list(row.values()) for row in shown.rows("day", "event", "details")] == [
            ["2026-01-05", "test", "12.6 V"], ["2026-02-10", "loan", "went out"],
        ]  # fmt: skip
        for word in ("value", "maker", "unknown", "None"):
            assert word not in shown.words
    valued = replace(
        page,
        papers=replace(line, value=40.0),
        valuation=Valuation(date(2026, 3, 1), "Tomasz"),
        receipts=[ReceiptLine("bill.pdf", "ab" * 32, date(2024, 5, 2))],
    )
    for shown in page_shown(valued):
        assert shown.in_order(
            "value EUR 40.00", "valued on 2026-03-01 by Tomasz", "receipt bill.pdf of 2024-05-02", "abababababab...",
        )  # fmt: skip
    bare = StorePage(
        papers=a_line("Old"),
        valuation=None,
        photographs=[],
        receipts=[],
        services_due=[],
        history=[],
        currency=None,
    )
    for shown in page_shown(bare):
        assert shown.words == "Old (item): in"
