"""The officer's report of a period, read back at every width and held against a club's records by arithmetic."""

from datetime import datetime

import pytest

from tests.cli.program import Program, written_once
from tests.cli.screens import screens
from tests.cli.test_annual_shown import WIDTHS, cells, section


@pytest.fixture
def lending(in_club: Program) -> Program:
    """A year before 2 March 2026: loans, services, an absence and values on days chosen for both ends of a period."""
    return written_once(in_club, type_lending)


def type_lending(program: Program) -> None:
    lines = [
        "rule set currency GBP", "member add Tomasz", "kit add|Evening kit|--part Bracken --part cap",
        "store note Heron --value 800.5", "store note Thistle --value 99.5",
        "store note|Wide 25|--acquired bought --acquired-on 2026-01-10 --cost 49.9 --value 40",
        "service add Heron greased --on 2025-12-31 --cost 1000",
        "service add Heron greased --on 2026-01-01 --cost 12.5",
        "service add Heron|new belt|--on 2026-01-31 --cost 1234 --mechanical",
        "service add Thistle cleaned --on 2026-01-20",
        "service add Heron greased --on 2026-02-01 --cost 5",
        "loan out Heron Ines --on 2025-12-20 --due 2026-01-03", "loan back Heron --on 2026-01-05",
        "loan out Heron|Bram Ostler|--on 2026-01-11 --due 2026-02-20", "loan back Heron --on 2026-01-20",
        "loan out Thistle Tomasz --on 2026-02-01 --due 2026-02-10",
    ]  # fmt: skip
    for line in lines:
        parts = line.split("|")
        program.must(*(word for n, part in enumerate(parts) for word in ([part] if n % 2 else part.split())))


JANUARY = ("officer", "report", "--from", "2026-01-01", "--to", "2026-01-31")


@pytest.mark.parametrize("officer", [True, False])
def test_a_period_has_what_is_of_its_days_both_ends_included(
    lending: Program, now: datetime, officer: bool
) -> None:
    """January: Heron was out on the 1st to 5th and the 11th to 20th, 15 days of 31, and came back two days late."""
    words = (*JANUARY, "--officer") if officer else JANUARY
    for shown in screens(lending.environment, now, *words, widths=WIDTHS):
        assert shown.words.startswith("The store-room from 2026-01-01 to 2026-01-31 (31 days)")
        assert shown.in_order("0 nights at 0 sites; 0 set-ups of 0 mounts by 0 observers.")
        use = section(shown, "USE: DAYS OUT OF DAYS AVAILABLE")
        (row,) = cells(use, "name", "kind", "out", "of days", "used", "loans", "nights")
        assert row == ["Heron", "mount", "15", "31", "48 %", "1", "0"]
        loans = section(shown, "LOANS")
        assert loans.in_order(
            "1 loan to 1 borrower (0 handed over); 0 extensions of 0 loans.",
            "Out before the period: 1; came back in it: 2; out at its end: 0.",
            "Came back late: 1, 2 days late in total. Overdue on 2026-03-02: 1.",
        )
        columns = ["reference", "item", "due", "back", "days late", *(["member"] if officer else [])]
        rows = [row[1:] for row in cells(loans, *columns)]
        assert [row[:4] for row in rows] == [
            ["Thistle", "2026-02-10", "out", "20"], ["Heron", "2026-01-03", "2026-01-05", "2"],
        ]  # fmt: skip
        assert [row[4:] for row in rows] == ([["Tomasz"], ["Ines"]] if officer else [[], []])
        services = section(shown, "SERVICES AND REPAIRS")
        assert services.words.startswith(
            "3 services of 2 items (1 mechanical); cost GBP 1,246.50 from 2; 1 cost unknown."
        )
        assert cells(services, "name", "kind", "services", "cost") == [
            ["Heron", "mount", "2", "GBP 1,246.50"], ["Thistle", "mount", "1", "unknown (1 cost unknown)"],
        ]  # fmt: skip
        assert section(shown, "ACQUIRED AND RETIRED").in_order(
            "1 acquired, 0 gifts among them; cost GBP 49.90; 0 retired.", "acquired (bought)", "2026-01-10", "GBP 49.90"
        )  # fmt: skip
        held = cells(section(shown, "VALUES BY HOLDER, ON 2026-03-02"), "with", "value", "items")
        assert ["Tomasz" if officer else "1 member", "GBP 99.50", "1"] in held
        assert ("Tomasz" in shown.words) == officer


def test_the_next_month_begins_on_the_day_after(lending: Program, now: datetime) -> None:
    words = ("officer", "report", "--from", "2026-02-01", "--to", "2026-02-28")
    for shown in screens(lending.environment, now, *words, widths=WIDTHS):
        use = section(shown, "USE: DAYS OUT OF DAYS AVAILABLE")
        (row,) = cells(use, "name", "kind", "out", "of days", "used", "loans", "nights")
        assert row == ["Thistle", "mount", "28", "28", "100 %", "1", "0"]
        assert "Out before the period: 0; came back in it: 0; out at its end: 1." in shown.words
        assert "1 service of 1 item (0 mechanical); cost GBP 5.00." in shown.words
