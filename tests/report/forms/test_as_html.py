"""Sheets as pages: strict HTML, every name text, nothing fetched and nothing run."""

import re
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import html5lib
import pytest
from pypdf import PdfReader

from obslog.club.forms.blocks import Box, Boxes, Column, ColumnKind, Explanation, Heading, Table
from obslog.report.forms.as_html import sheet_as_html
from obslog.report.forms.paper import PaperSize
from tests.report.forms.sheets import COLUMNS, HOSTILE, form, with_name
from tests.report.pages.browser import PageBrowser

if TYPE_CHECKING:
    from playwright.sync_api import Page


def read(content: bytes) -> Any:
    """The page as a parser sees it that complains of every fault."""
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(content.decode("utf-8"))


def words_of(element: Any) -> str:
    return " ".join("".join(element.itertext()).split())


@pytest.mark.parametrize("name", HOSTILE, ids=lambda name: ascii(name[:12]))
def test_whatever_people_are_called_the_page_is_strict_html_without_a_script(name: str) -> None:
    page = read(
        sheet_as_html(form(*with_name(name), title=name or "A sheet", about=name), PaperSize.A4).content
    )
    assert page.findall(".//script") == []
    assert len(page.findall(".//style")) == 1
    assert len(page.findall(".//h2")) == 1


def test_a_name_is_the_text_that_it_is() -> None:
    name = HOSTILE[0]
    page = read(sheet_as_html(form(Heading(name), title=name), PaperSize.A4).content)
    assert words_of(page.find(".//h1")) == name
    assert words_of(page.find(".//h2")) == name


def test_nothing_is_fetched() -> None:
    text = sheet_as_html(form(*with_name("Ines")), PaperSize.A4).content.decode()
    assert re.findall(r"""(?:src|href)\s*=|url\(|@import|https?:""", text) == []


def test_long_texts_are_cut_with_an_ellipsis() -> None:
    content = sheet_as_html(form(*with_name("x" * 10_000)), PaperSize.A4).content
    assert len(content) < 50_000  # the explanation alone is whole
    assert "x…".encode() in content


@pytest.mark.parametrize(
    ("paper", "size"), [(PaperSize.A4, "size: A4;"), (PaperSize.LETTER, "size: letter;")]
)
def test_it_prints_on_the_paper_asked_for_with_the_number_of_each_page(paper: PaperSize, size: str) -> None:
    style = words_of(read(sheet_as_html(form(), paper).content).find(".//style"))
    assert size in style
    assert 'content: "page " counter(page) " of " counter(pages)' in style


def test_the_head_of_a_page_cannot_leave_its_string_in_the_style() -> None:
    head = '"} body { display: none } \\'
    style = words_of(read(sheet_as_html(form(title=head, about=""), PaperSize.A4).content).find(".//style"))
    (written,) = re.findall(r'@top-left \{ content: "([^"]*)"', style)
    said = re.sub(
        r"\\([0-9a-f]{6})", lambda found: chr(int(found[1], 16)), written
    )  # CSS Syntax 3, section 4.3.7
    assert said == head


def test_boxes_tables_and_their_blank_rows_are_there() -> None:
    table = Table(
        columns=COLUMNS, rows=(("", "Heron", ""), ("", "Tube\nworn", "worn")), blank_rows=3, writing=True
    )
    page = read(sheet_as_html(form(Boxes((Box(label="Site", filled="Mill"),)), table), PaperSize.A4).content)
    assert words_of(page.find(".//div[@class='field']")) == "Site Mill"
    assert [words_of(cell) for cell in page.findall(".//thead/tr/th")] == [
        "seen",
        "name_of_a_column",
        "condition",
    ]
    rows = [[words_of(cell) for cell in row.findall("td")] for row in page.findall(".//tbody/tr")]
    ring = "good worn damaged missing"
    assert rows == [["", "Heron", ring], ["", "Tubeworn", "worn"], *[["", "", ring]] * 3]
    assert len(page.findall(".//span[@class='tick-box']")) == 5


def test_a_table_says_of_what_it_is_on_each_sheet_and_numbers_stand_at_the_right() -> None:
    columns = (Column(title="what", share=1), Column(title="value", share=1, kind=ColumnKind.NUMBER))
    table = Table(columns=columns, rows=(("Heron", "40.00"),), belongs_to="Set-up 1: <b>")
    page = read(sheet_as_html(form(table), PaperSize.A4).content)
    of_what = page.find(".//thead/tr/th[@class='of']")  # a browser prints a thead on each sheet again
    assert (of_what.text, of_what.get("colspan")) == ("Set-up 1: <b>", "2")
    assert [cell.text for cell in page.findall(".//td[@class='number']")] == ["40.00"]


def test_a_table_is_called_by_what_stands_above_it_where_it_is_read_aloud() -> None:
    table = Table(columns=COLUMNS, blank_rows=1)
    blocks = (table, Heading("attic: 2 items"), table, replace(table, belongs_to="Set-up 1: Heron"))
    page = read(sheet_as_html(form(*blocks, title="Stocktake"), PaperSize.A4).content)
    said = [group.get("aria-label") for group in page.findall(".//div[@role='group']")]
    assert said == ["Stocktake", "attic: 2 items", "Set-up 1: Heron"]


def test_a_sheet_that_is_printed_says_on_each_page_of_what_its_rows_are(
    browser: PageBrowser, tmp_path: Path
) -> None:
    """The heading stands above the first page alone; on paper it is in the table's head."""
    attic = Table(columns=COLUMNS, rows=tuple(("", f"Tube {number}", "") for number in range(150)))
    path = tmp_path / "sheet.html"
    path.write_bytes(
        sheet_as_html(form(Heading("attic: 150 items"), attic, title="Stocktake"), PaperSize.A4).content
    )

    def look(page: "Page") -> tuple[int, list[int]]:
        sheets = PdfReader(BytesIO(page.pdf(prefer_css_page_size=True))).pages
        shown: str = page.inner_text("main")
        return shown.count("attic: 150 items"), [sheet.extract_text().count("attic:") for sheet in sheets]

    on_screen, on_paper = browser.see(path, look)
    assert on_screen == 1
    assert len(on_paper) > 1
    assert set(on_paper) == {1}


def test_no_date_is_broken_and_what_is_read_aloud_has_no_markup() -> None:
    table = Table(columns=COLUMNS, rows=(("", "Heron\nsince 2026-08-31 <b>", ""),))
    blocks = (Heading("due by 2026-09-30"), Explanation("counted on 2026-09-01"), table)
    page = read(sheet_as_html(form(*blocks), PaperSize.A4).content)
    whole = [span.text for span in page.findall(".//span[@class='whole']")]
    assert whole == ["2026-09-30", "2026-09-01", "2026-09-30", "2026-08-31"]
    assert words_of(page.find(".//tbody")) == "Heronsince 2026-08-31 <b>good worn damaged missing"
    (group,) = page.findall(".//div[@role='group']")
    assert group.get("aria-label") == "due by 2026-09-30"


def test_the_same_sheet_is_the_same_page() -> None:
    sheet = form(*with_name("Ines"), Explanation("x", strong=True))
    assert sheet_as_html(sheet, PaperSize.A4).content == sheet_as_html(sheet, PaperSize.A4).content


def test_on_a_telephone_a_printed_table_of_four_columns_is_seen_whole(
    browser: PageBrowser, tmp_path: Path
) -> None:
    """And a table that is wider than the window is not cut without a sign: there is a shade at its edge."""
    columns = [Column(title=head, share=15) for head in ("where", "items", "value", "value not known")]
    four = Table(columns=tuple(columns), rows=(("loft of the reading room", "45", "13,910.00", "7"),))
    wide = Table(columns=COLUMNS, blank_rows=1, writing=True)
    path = tmp_path / "sheet.html"
    path.write_bytes(sheet_as_html(form(four, wide), PaperSize.A4).content)

    def look(page: "Page") -> list[tuple[bool, bool]]:
        found: list[tuple[bool, bool]] = page.evaluate(
            """() => [...document.querySelectorAll('.wide')].map(
                e => [e.scrollWidth > e.clientWidth, getComputedStyle(e).backgroundImage.includes('gradient')])"""
        )
        return [(goes_on, shaded) for goes_on, shaded in found]

    of_four, of_wide = browser.see(path, look, width=360)
    assert of_four == (False, True)
    assert of_wide == (True, True)
