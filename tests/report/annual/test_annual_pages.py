"""The annual report on the screen and on paper: it fits its page, says everything, and no name is read as markup."""

import re
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser

import pytest

from obslog.club.annual.report_records import (
    Acquisitions,
    AnnualReport,
    FleetLanding,
    Holding,
    Late,
    Left,
    LoanYear,
    LossYear,
    Lost,
    Money,
    NightYear,
    Queue,
    ServiceYear,
    Use,
    Utilisation,
    WaitingYear,
)
from obslog.report.annual.text import MOST_ROWS, WIDTH, annual_text, shortened
from obslog.report.annual.told import Cell, ToldTable, money_words, percent
from obslog.report.pages.annual_page import annual_page
from obslog.report.pages.writing import page_html
from obslog.values import Interval

HOSTILE = '<script>alert("x")</script> & Sons\x1b[31m'
DAY = date(2026, 3, 1)


def report_of(lines: int, name: str = "A kit", *, with_names: bool = True) -> AnnualReport:
    member = name if with_names else None
    nothing = Money(0, 0, 0)
    everything = Use(
        name="all kits",
        kind="all",
        days_out=30,
        days_available=90,
        utilisation=1 / 3,
        days_missing=0,
        loans=4,
    )
    one = {"days_available": 90, "days_missing": 0}
    return AnnualReport(
        first=date(2025, 12, 2),
        last=DAY,
        days=90,
        today=DAY,
        asked_to=None,
        with_names=with_names,
        currency=None,
        nights=NightYear(nights=3, sites=1, setups=4, mounts=2, observers=2),
        landing=FleetLanding(
            arcmin=Interval(12, 9, 15, 8),
            setups=8,
            before_arcmin=None,
            before_setups=2,
            change=None,
            too_few="only 2 set-ups have landing data in the period before",
        ),
        utilisation=Utilisation(
            kits=everything,
            things=everything,
            lines=[
                Use(
                    name=f"{name} {n}",
                    kind="kit",
                    days_out=n + 1,
                    utilisation=(n + 1) / 90,
                    loans=1,
                    **one,
                )
                for n in range(lines)
            ],
            never_moved=[
                Use(
                    name=f"{name} still {n}",
                    kind="item",
                    days_out=0,
                    utilisation=0.0,
                    loans=0,
                    nights=0,
                    **one,
                )
                for n in range(lines)
            ],
            unknown_since=1,
        ),
        loans=LoanYear(
            begun=4,
            handed_over=1,
            borrowers=2,
            out_before=0,
            came_back=3,
            out_at_end=1,
            renewals=1,
            renewed_loans=1,
            late=[],
            days_late=0,
            overdue_now=[
                Late(
                    reference=f"{n:06x}",
                    what=name,
                    kind="kit",
                    member=member,
                    due_on=DAY,
                    back_on=None,
                    days_late=n,
                )
                for n in range(lines)
            ],
            grace_days=0,
            borrower_names=[name] if with_names else None,
        ),
        waiting=WaitingYear(
            waiting=2,
            members=2,
            longest_days=9,
            queues=[
                Queue(
                    what=name,
                    kind="kit",
                    waiting=2,
                    longest_days=9,
                    members=[name, name] if with_names else None,
                )
                for _ in range(lines)
            ],
            served=1,
            served_median_days=8,
            served_longest_days=8,
            withdrawn=1,
        ),
        services=ServiceYear(services=0, mechanical=0, cost=nothing, things=[]),
        losses=LossYear(
            missing=[],
            missing_value=nothing,
            found=0,
            given_up=0,
            written_off=[],
            written_off_value=nothing,
            missing_from_before=0,
        ),
        acquisitions=Acquisitions(things=[], cost=nothing, gifts=0, unknown_date=5),
        retired=[],
        holdings=[
            Holding(where="members", holder=member, holders=1, things=3, value=Money(1250, 2, 1)),
        ],
    )


EMPTY_REPORT = replace(
    report_of(0),
    landing=replace(report_of(0).landing, too_few=None),
    acquisitions=Acquisitions(things=[], cost=Money(0, 0, 0), gifts=0, unknown_date=0),
)


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


def test_no_line_begins_with_the_sign_of_a_percentage() -> None:
    report = report_of(1)
    for longer in range(60):
        landing = replace(report.landing, too_few=f"only {'s' * longer} 78 % of them have landing data")
        text = annual_text(replace(report, landing=landing))
        assert not any(line.lstrip().startswith("%") for line in text)
        assert "\u00a0" not in "".join(text)
        assert " 78 % of them have landing data." in " ".join(" ".join(text).split())


def test_a_cut_table_says_how_much_is_left_out_and_the_page_has_all() -> None:
    text = "\n".join(annual_text(report_of(40)))
    cut = re.search(r"and (\d+) more", text)
    assert cut is not None
    assert sum(line.startswith("  A kit") and "%" in line for line in text.splitlines()) + int(cut[1]) == 40
    page = parsed(page_html(annual_page(report_of(40)))).text
    assert all(f"A kit {n}" in page for n in range(40))


def test_a_percentage_on_the_page_is_not_broken_between_lines() -> None:
    page = page_html(annual_page(report_of(1)))
    assert " %" not in page[page.index("<main") :]
    assert "(95\u00a0%: 9.0' to 15.0')" in parsed(page).text


def test_no_name_is_read_as_markup_and_nothing_is_fetched() -> None:
    page = page_html(annual_page(report_of(3, HOSTILE)))
    tags = parsed(page)
    assert "script" not in tags.tags
    assert not tags.attributes & {"src", "srcset", "action", "onload", "onclick"}
    assert '<script>alert("x")</script> & Sons' in tags.text
    assert "\x1b" not in page
    assert "http" not in page


def test_names_with_commas_and_full_stops_are_told_apart() -> None:
    report = report_of(1)
    queue = replace(report.waiting.queues[0], members=["Bob Smith, Jr.", "Ann O'Neil"])
    names = replace(
        report,
        loans=replace(report.loans, borrower_names=["Ann O'Neil", "Bob Smith, Jr."]),
        waiting=replace(report.waiting, queues=[queue]),
    )
    told = "\n".join(annual_text(names))
    assert "  Borrowers: Ann O'Neil; Bob Smith, Jr.\n" in told
    assert "Bob Smith, Jr.; Ann O'Neil\n" in told


def test_one_day_and_one_loan_are_told_as_one() -> None:
    report = report_of(0)
    kits = replace(report.utilisation.kits, days_out=0, days_available=1, utilisation=0.0, loans=1)
    one = replace(report, utilisation=replace(report.utilisation, kits=kits))
    assert "  All kits: 0 of 1 day (0.0 %), lent once.\n" in "\n".join(annual_text(one))


def test_nobody_is_named_unless_asked() -> None:
    unnamed = report_of(2, "Ines", with_names=False)
    named = report_of(2, "Ines")
    assert "member" in parsed(page_html(annual_page(named))).text
    assert "1 member" in "\n".join(annual_text(unnamed))
    assert "Borrowers: Ines" in "\n".join(annual_text(named))
    assert "Borrowers:" not in "\n".join(annual_text(unnamed))


def test_what_was_retired_has_no_cost_and_that_is_not_said_to_be_unknown() -> None:
    gone = Left(name="Heron", kind="mount", on=DAY, why=None, value=900.0)
    text = annual_text(replace(report_of(0), retired=[gone]))
    (row,) = [line for line in text if line.lstrip().startswith("Heron")]
    assert row.split() == ["Heron", "mount", "retired", "2026-03-01"]


def test_a_label_that_is_missing_has_no_value_and_that_is_not_said_to_be_unknown() -> None:
    cap = Lost(name="Box: dew cap", kind="label", since=DAY)
    report = report_of(1)
    labels = replace(report, losses=replace(report.losses, missing=[cap]))
    told = "\n".join(annual_text(labels))
    assert "1 went missing; 0 found again; 1 still missing." in told
    assert re.search(r"Box: dew cap +label +missing +2026-03-01 +no\n", told)
    tube = replace(cap, name="Tube 1", kind="tube")
    both = replace(report.losses, missing=[cap, tube], missing_value=Money(None, 0, 1))
    told = "\n".join(annual_text(replace(report, losses=both)))
    assert "2 still missing, value unknown (1 value unknown)." in " ".join(told.split())
    assert re.search(r"Tube 1 +tube +missing +2026-03-01 +no +\?\n", told)


def test_unknown_and_nothing_are_told_apart() -> None:
    assert money_words(Money(None, 0, 2), "cost", "EUR") == "unknown (2 costs unknown)"
    assert money_words(Money(1250, 2, 1), "value", None) == "1,250.00 from 2; 1 value unknown"
    assert money_words(Money(0, 0, 0), "cost", "EUR") == "EUR 0.00"
    assert (percent(None), percent(0.035), percent(0.31)) == (None, "3.5 %", "31 %")


def test_a_table_takes_the_whole_page_before_its_widest_column_is_cut() -> None:
    """The header of the table of use is as wide as its columns are together."""

    def shown(name: str) -> tuple[str, str]:
        text = annual_text(report_of(1, name))
        place = next(n for n, line in enumerate(text) if line.split()[:2] == ["name", "kind"])
        return text[place], text[place + 1].removeprefix("  ").split("  ")[0]

    header, cell = shown("Kit")
    assert cell == "Kit 0"
    longest = "K" * (len("Kit") + WIDTH - len(header))
    for name, told in (
        (longest, f"{longest} 0"),
        (f"{longest}K", f"{longest}.."),
        (longest * 3, f"{longest}.."),
    ):
        header, cell = shown(name)
        assert (len(header), cell) == (WIDTH, told)


def test_a_table_that_is_whole_says_nothing_of_more_rows() -> None:
    for rows in range(1, MOST_ROWS + 3):
        report = replace(EMPTY_REPORT, waiting=report_of(rows).waiting)
        text = "\n".join(annual_text(report))
        told = f"  and {rows - MOST_ROWS} more (--into has all)"
        assert (told in text.splitlines(), "more" in text) == (rows > MOST_ROWS, rows > MOST_ROWS)


def test_numbers_stand_to_the_right_and_words_to_the_left() -> None:
    use = replace(
        report_of(3).utilisation,
        lines=[
            Use(name=name, kind="item", days_out=out, days_available=out, utilisation=1.0, loans=out, nights=out)
            for name, out in (("A", 7), ("Long name", 1234), ("Bb", 56))
        ],
    )  # fmt: skip
    text = annual_text(replace(EMPTY_REPORT, utilisation=use))
    place = next(n for n, line in enumerate(text) if line.split()[:2] == ["name", "kind"])
    header, *rows = text[place : place + 4]
    for column in ("out", "of days", "loans", "nights"):
        end = header.index(column) + len(column)
        assert [row[:end].split()[-1] for row in rows] == ["7", "1234", "56"], column
        assert {row[end : end + 2].strip() for row in rows} == {""}
    assert [row[header.index("kind") :].split()[0] for row in rows] == ["item"] * 3
    assert [row[: header.index("kind")].strip() for row in rows] == ["A", "Long name", "Bb"]
    page = page_html(annual_page(replace(EMPTY_REPORT, utilisation=use)))
    assert '<th scope="col" class="number">out</th>' in page
    assert '<td class="number">1234</td>' in page
    assert '<th scope="col">name</th>' in page


def test_sums_and_shares_are_numbers_too_and_what_is_not_known_changes_nothing() -> None:
    rows: list[list[Cell]] = [
        ["A", "GBP 1,250.50", "2.6 %", None, None],
        ["B", None, "40 %", "2026-03-02", None],
    ]
    table = ToldTable(["name", "value", "used", "since", "cost"], rows)
    assert table.numeric == [False, True, True, False, False]
    assert ToldTable(["value"], [["15.00"], [""]]).numeric == [True]
    assert ToldTable(["value"], [["unknown (1 cost unknown)"], ["15.00"]]).numeric == [False]


def test_tables_give_way_only_as_far_as_the_page_needs() -> None:
    """A page has 64 lines. One row more of each cut table would not fit, or the tables have the eight rows they may."""
    lengths = set()
    for rows in range(1, 12):
        for more in range(12):
            report = report_of(rows)
            longer = replace(report.landing, too_few="few " * 20 * more)
            text = annual_text(replace(report, landing=longer))
            cut = [line for line in text if line.endswith("more (--into has all)")]
            left_out = max((int(line.split()[1]) for line in cut), default=0)
            lengths.add(len(text))
            assert len(text) <= 64
            if cut and rows - left_out < MOST_ROWS:
                whole_then = (
                    len(cut) if left_out == 1 else 0
                )  # a table that is whole needs no line that says so
                assert len(text) + len(cut) - whole_then > 64, (rows, more)
    assert 64 in lengths


def test_a_list_of_names_is_cut_to_four_lines_of_the_page() -> None:
    assert shortened("n" * 320) == "n" * 320
    assert shortened("n" * 321) == "n" * 316 + " ..."


def test_an_interval_with_one_end_is_told_by_its_value_alone() -> None:
    for interval in (Interval(12, None, 15, 8), Interval(12, 9, None, 8)):
        landing = replace(report_of(0).landing, arcmin=interval)
        text = " ".join(" ".join(annual_text(replace(report_of(0), landing=landing))).split())
        assert "half of the go-tos within 12.0', the geometric mean of 8 set-ups." in text
