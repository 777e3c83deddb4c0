"""The annual report on the screen and on paper: it fits its page, says everything, and no name is read as markup."""

import re
from datetime import date
from html.parser import HTMLParser

import pytest

from obslog.club.annual.report_records import (
    Acquisitions,
    AnnualReport,
    FleetLanding,
    Holding,
    Late,
    LoanYear,
    LossYear,
    Money,
    NightYear,
    Queue,
    ServiceYear,
    Use,
    Utilisation,
    WaitingYear,
)
from obslog.report.annual_html import annual_page
from obslog.report.annual_sections import money_words, percent
from obslog.report.annual_text import WIDTH, annual_text
from obslog.values import Interval

HOSTILE = '<script>alert("x")</script> & Sons\x1b[31m'
DAY = date(2026, 3, 1)


def report_of(lines: int, name: str = "A kit", *, with_names: bool = True) -> AnnualReport:
    use = [Use(f"{name} {n}", "kit", n + 1, 90, (n + 1) / 90, 0, 1, None) for n in range(lines)]
    still = [Use(f"{name} still {n}", "item", 0, 90, 0.0, 0, 0, 0) for n in range(lines)]
    late = [Late(f"{n:06x}", name, "kit", name if with_names else None, DAY, None, n) for n in range(lines)]
    queues = [Queue(name, "kit", 2, 9, [name, name] if with_names else None) for _ in range(lines)]
    everything = Use("all kits", "all", 30, 90, 1 / 3, 0, 4, None)
    return AnnualReport(
        date(2025, 12, 2), DAY, 90, DAY, with_names,
        NightYear(3, 1, 4, 2, 2),
        FleetLanding(Interval(12, 9, 15, 8), 8, None, 2, None, "only 2 set-ups tell of it in the one before"),
        Utilisation(everything, everything, use, still, 1),
        LoanYear(4, 1, 2, 0, 3, 1, 1, 1, [], 0, late, 0, [name] if with_names else None),
        WaitingYear(2, 9, queues, 1, 8, 8, 1),
        ServiceYear(0, 0, Money(0, 0, 0), []),
        LossYear([], Money(0, 0, 0), 0, [], Money(0, 0, 0), 0),
        Acquisitions([], Money(0, 0, 0), 0, 5),
        [],
        [Holding("members", name if with_names else None, 1, 3, Money(1250, 2, 1))],
    )  # fmt: skip


class Tags(HTMLParser):
    """What a browser would make of the page: its tags, what they point to, and its text."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.attributes: set[str] = set()
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}

    def handle_data(self, data: str) -> None:
        self.text += data


def parsed(page: str) -> Tags:
    tags = Tags()
    tags.feed(page)
    return tags


@pytest.mark.parametrize("name", ["A kit", "An unusually long name of a kit " * 6])
@pytest.mark.parametrize("lines", [0, 1, 40])
def test_the_text_is_a_page_of_eighty_columns(name: str, lines: int) -> None:
    text = annual_text(report_of(lines, name))
    assert max(len(line) for line in text) <= WIDTH
    assert len(text) <= 66  # A4 is 11.7 inches: 70 lines at six to the inch, less margins


def test_a_cut_table_says_how_much_is_left_out_and_the_page_has_all() -> None:
    text = "\n".join(annual_text(report_of(40)))
    cut = re.search(r"and (\d+) more", text)
    assert cut is not None
    assert sum(line.startswith("  A kit") and "%" in line for line in text.splitlines()) + int(cut[1]) == 40
    page = parsed(annual_page(report_of(40))).text
    assert all(f"A kit {n}" in page for n in range(40))


def test_no_name_is_read_as_markup_and_nothing_is_fetched() -> None:
    page = annual_page(report_of(3, HOSTILE))
    tags = parsed(page)
    assert "script" not in tags.tags
    assert tags.attributes <= {"lang", "charset", "class"}
    assert '<script>alert("x")</script> & Sons' in tags.text
    assert "\x1b" not in page
    assert "http" not in page


def test_nobody_is_named_unless_asked() -> None:
    unnamed = report_of(2, "Ines", with_names=False)
    named = report_of(2, "Ines")
    assert "member" in parsed(annual_page(named)).text
    assert "1 member" in "\n".join(annual_text(unnamed))
    assert "Borrowers: Ines" in "\n".join(annual_text(named))
    assert "Borrowers:" not in "\n".join(annual_text(unnamed))


def test_unknown_and_nothing_are_told_apart() -> None:
    assert money_words(Money(None, 0, 2), "cost") == "unknown (2 costs unknown)"
    assert money_words(Money(1250, 2, 1), "value") == "1,250 from 2; 1 value unknown"
    assert money_words(Money(0, 0, 0), "cost") == "0"
    assert (percent(None), percent(0.035), percent(0.31)) == (None, "3.5 %", "31 %")
