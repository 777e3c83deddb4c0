"""One file of HTML: strict parsers take it, nothing is fetched, and names are text."""

import re
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING, Any

import html5lib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from obslog.report.pages.content import Bullets, Grouped, Links, Page, Paragraph, Part, Section, Table
from obslog.report.pages.writing import MOST_SHORT_COLUMNS, is_page, page_html, short_columns
from obslog.report.pictures.ink import STYLES
from tests.report.pages.browser import PageBrowser
from tests.report.pictures.test_drawing import picture_of

if TYPE_CHECKING:
    from playwright.sync_api import Page as Page_

HOSTILE = '<script>alert("x")</script> & Sons\x1b[31m \u202eevil'
SEEN = '<script>alert("x")</script> & Sons[31m evil'
NAMESPACE = "{http://www.w3.org/1999/xhtml}"


def page_of(text: str = "Heron") -> Page:
    parts: list[Part] = [
        Paragraph(text),
        Bullets([text, "second"]),
        Grouped([(text, [text])]),
        Links([(text, "mount-heron.html", text)]),
        Table(caption=text, columns=[text, "arrivals"], rows=[[text, "12"]], numeric=[False, True]),
        picture_of("one", text),
        picture_of("other", text),
    ]
    return Page(
        kind="mount",
        title=text,
        lead=text,
        sections=[Section(text, parts)],
        footer=[text],
        up=("index.html", text),
    )


def parsed(html: str) -> Any:
    """The page as the HTML standard's parser reads it; any fault of the text is an error."""
    return html5lib.HTMLParser(strict=True).parse(html)


def test_a_strict_parser_takes_it_without_a_word() -> None:
    assert parsed(page_html(page_of())) is not None


def test_ids_are_each_there_once() -> None:
    ids = Counter(element.get("id") for element in parsed(page_html(page_of())).iter() if element.get("id"))
    assert max(ids.values()) == 1


def test_hostile_text_is_text_and_makes_no_element() -> None:
    tree = parsed(page_html(page_of(HOSTILE)))
    plain, hostile = (
        Counter(e.tag for e in parsed(page_html(page_of(t))).iter()) for t in ("Heron", HOSTILE)
    )
    assert plain == hostile
    assert tree.find(f".//{NAMESPACE}h1").text == SEEN


@given(st.text(max_size=200))
@settings(max_examples=25, deadline=None)
def test_any_text_at_all_leaves_a_page_that_parses(text: str) -> None:
    page = Page(
        kind="mount", title=text, lead=text, sections=[Section(text, [Paragraph(text)])], footer=[text]
    )
    parsed(page_html(page).encode("utf-8").decode("utf-8"))


def test_the_head_of_a_printed_sheet_cannot_leave_its_string_in_the_style() -> None:
    hostile = '"} body { display: none } \\'
    (written,) = re.findall(r'@top-left \{ content: "([^"]*)"', page_html(page_of(hostile)))
    said = re.sub(
        r"\\([0-9a-f]{6})", lambda found: chr(int(found[1], 16)), written
    )  # CSS Syntax 3, section 4.3.7
    assert said == hostile


@pytest.mark.parametrize(
    "kept",
    [
        "2026-03-02",
        "-12.1' ± 0.5'",
        "5.8e-05",
        "12.0E 3.5N",
        "GBP 1,250.50",
        "95 %",
        "--ring-spacing-mm",
        "set-ups",
        "go-to",
    ],
)
def test_what_is_one_thing_is_not_broken_between_lines(kept: str) -> None:
    paragraph = parsed(page_html(page_of(f"It says {kept}, and more."))).find(
        f".//{NAMESPACE}section/{NAMESPACE}p"
    )
    (whole,) = paragraph.findall(f"{NAMESPACE}span[@class='whole']")
    assert (paragraph.text, whole.text, whole.tail) == ("It says ", kept, ", and more.")


def test_a_short_cell_beside_longer_ones_is_not_broken_at_the_hyphen() -> None:
    rows = [["set-ups", "9"], ["half of the go-tos landed within", "12'"]]
    page = Page(
        kind="club",
        title="One",
        lead="Two",
        sections=[Section("Three", [Table(caption="", columns=["figure", "now"], rows=rows, numeric=[])])],
        footer=[],
    )
    found = parsed(page_html(page)).findall(f".//{NAMESPACE}tbody//{NAMESPACE}span[@class='whole']")
    assert [span.text for span in found] == ["set-ups", "go-tos"]


def test_a_name_from_right_to_left_turns_nothing_around_in_a_sentence(
    browser: PageBrowser, tmp_path: Path
) -> None:
    """What follows the name stands to its right, numbers too; a text of their own keeps its own direction."""
    path = tmp_path / "page.html"
    sentence, own = "Private to אברהם לוי: 1 night.", "נקי, 3 כוכבים."
    sections = [Section("One", [Paragraph(sentence), Paragraph(own)])]
    page = Page(kind="mount", title="One", lead="Two", sections=sections, footer=[])
    path.write_text(page_html(page), encoding="utf-8")

    def look(page: "Page_") -> list[list[float]]:
        found: list[list[float]] = page.evaluate(
            """() => [...document.querySelectorAll('section p')].map(e => {
                const texts = document.createTreeWalker(e, NodeFilter.SHOW_TEXT), at = {};
                while (texts.nextNode()) for (const sign of texts.currentNode.data.matchAll(/[\\dא-ת]/g)) {
                    const here = document.createRange();
                    here.setStart(texts.currentNode, sign.index);
                    here.setEnd(texts.currentNode, sign.index + 1);
                    at[/\\d/.test(sign[0]) ? 'number' : 'last letter'] = here.getBoundingClientRect().left;
                }
                return [at['last letter'], at['number']];
            })"""
        )
        return found

    (name, number), (own_last, own_number) = browser.see(path, look)
    assert name < number
    assert own_last < own_number


def test_nothing_is_fetched_and_nothing_runs() -> None:
    html = page_html(page_of())
    assert "<script" not in html
    assert not re.findall(r"(?:src|href)=\"(?!#|mount-heron\.html|index\.html)", html)
    assert "@import" not in html
    assert "url(" not in re.sub(r"url\(#", "", html)


def test_the_same_page_gives_the_same_bytes() -> None:
    assert page_html(page_of()) == page_html(page_of())


@pytest.mark.parametrize("style", [None, *STYLES])
def test_a_page_is_known_again(style: str | None) -> None:
    assert is_page(page_html(page_of(), style=style))
    assert not is_page('<!DOCTYPE html>\n<html lang="en"><body>a page of somebody else\'s</body></html>')


def test_the_style_asked_for_is_the_one_that_is_chosen() -> None:
    chosen = [
        e
        for e in parsed(page_html(page_of(), style="red")).iter(f"{NAMESPACE}input")
        if "checked" in e.attrib
    ]
    assert [e.get("id") for e in chosen] == ["style-red"]


def test_dates_and_uncertainties_are_not_broken_and_all_else_is_escaped() -> None:
    text = "since 2026-03-02: -6.1' ± 0.5' <b>, 95 % & more"
    (paragraph,) = [
        e for e in parsed(page_html(page_of(text))).iter(f"{NAMESPACE}p") if e.get("class") == "lead"
    ]
    assert "".join(paragraph.itertext()) == text
    assert [span.text for span in paragraph] == ["2026-03-02", "-6.1' ± 0.5'", "95 %"]


def test_columns_of_short_cells_stay_in_one_line() -> None:
    rows = [["2026-03-02", "a text that has no end yet", "12"], ["", "short", "3"]]
    assert short_columns(rows) == "s1 s3"
    assert short_columns([]) == ""
    assert short_columns([["1"] * 30]) == " ".join(f"s{n}" for n in range(1, MOST_SHORT_COLUMNS + 1))
