"""Every page in a browser without a network: whole, quiet, readable by everybody, at any width, in any style."""

from datetime import date
from io import BytesIO
from math import cos, sin
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from PIL import Image
from PIL.ImageColor import getrgb
from pypdf import PdfReader

from obslog.report.pictures import drawing
from obslog.report.pictures.drawing import inline_svg
from obslog.report.pictures.ink import LIGHT
from obslog.report.pictures.polar_sky import axes_picture
from obslog.report.pictures.snag_steps import snags_picture
from obslog.vocabulary.mounts import MountType
from tests.club.pages.axes import axis
from tests.report.pages.browser import (
    WIDTHS,
    PageBrowser,
    brightest_green_or_blue,
    dots,
    violations,
    wider_than_the_window,
)
from tests.report.pages.conftest import PAGES, Written
from tests.report.pictures.test_snag_steps import LEVEL, POWER

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from playwright.sync_api import Page

A4_INNER_MM = 180  # its width between the margins of a page
MM = 96 / 25.4
SEEN = 10  # of 255: where the soft edges of two lines cross, one line with both is drawn a little lighter


@pytest.fixture(params=PAGES)
def kind(request: pytest.FixtureRequest) -> str:
    """Each kind of page in turn."""
    name: str = request.param
    return name


def test_nothing_stands_in_the_way_of_anybody(browser: PageBrowser, written: Written, kind: str) -> None:
    """All rules in the light style; the others differ from it in their colours alone.

    Of each table the first rows are looked at, and of pictures the words, for to look at thousands of marks takes long.
    The shade at the edge of a table is taken away, for axe says nothing of words before a gradient.
    """

    def look(page: "Page") -> list[str]:
        page.evaluate(
            """() => {
                document.querySelectorAll('details').forEach(e => e.open = true);
                document.querySelectorAll('tbody').forEach(e => [...e.rows].slice(2).forEach(row => row.remove()));
                document.querySelectorAll('svg :is(use, path)').forEach(e => e.remove());
                document.querySelectorAll('.scrolled').forEach(e => e.style.background = 'none');
            }"""
        )
        found = violations(page)
        for style in ("dark", "red"):
            page.check(f"#style-{style}")
            found += [f"{style}: {one}" for one in violations(page, ["color-contrast"])]
        return found

    assert browser.see(written(kind), look, style="light") == []


def test_axe_would_find_a_fault(browser: PageBrowser, written: Written) -> None:
    def look(page: "Page") -> tuple[list[str], list[str]]:
        page.evaluate("document.querySelector('p.lead').style.color = '#d5d5db'")
        page.evaluate("document.querySelector('th').textContent = ''")
        return violations(page), violations(page, ["color-contrast"])

    everything, contrast = browser.see(written("night"), look, style="light")
    assert {one.split(":")[0] for one in everything} == {"color-contrast", "empty-table-header"}
    assert [one.split(":")[0] for one in contrast] == ["color-contrast"]


def test_nothing_is_wider_than_the_window(browser: PageBrowser, written: Written, kind: str) -> None:
    def look(page: "Page") -> dict[int, list[str]]:
        found = {}
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 900})
            found[width] = wider_than_the_window(page)
        return found

    assert browser.see(written(kind), look) == {width: [] for width in WIDTHS}


def test_red_is_red_to_the_last_dot(browser: PageBrowser, written: Written, kind: str) -> None:
    """Also where something is chosen, has the focus, or stands selected."""

    def look(page: "Page") -> list[int]:
        found = [brightest_green_or_blue(page)]
        page.focus("#style-red")
        page.keyboard.press("Tab")
        page.evaluate("getSelection().selectAllChildren(document.querySelector('main'))")
        page.evaluate("document.querySelectorAll('details').forEach(e => e.open = true)")
        return [*found, brightest_green_or_blue(page)]

    assert max(browser.see(written(kind), look, style="red")) <= 10


def test_the_keys_go_through_the_page_as_it_is_read(
    browser: PageBrowser, written: Written, kind: str
) -> None:
    """Of the three choices of colour the keys reach one, and the arrows go on from there."""

    def look(page: "Page") -> tuple[list[int], list[int]]:
        to_reach = page.evaluate(
            """() => {
                document.querySelectorAll('details').forEach(e => e.open = true);
                const all = [...document.querySelectorAll('a[href], input, summary, [tabindex="0"]')];
                all.forEach((e, place) => e.dataset.place = place);
                return all.filter(e => !['style-dark', 'style-red'].includes(e.id)).map(e => Number(e.dataset.place));
            }"""
        )
        places = []
        for _ in to_reach:
            page.keyboard.press("Tab")
            places.append(page.evaluate("Number(document.activeElement.dataset.place ?? -1)"))
        return to_reach, places

    to_reach, places = browser.see(written(kind), look)
    assert len(to_reach) > 1
    assert places == to_reach


def test_on_paper_no_picture_is_cut(browser: PageBrowser, written: Written, kind: str) -> None:
    """A figure that may not be broken is cut only where it is higher than a sheet of A4 between its margins."""

    def look(page: "Page") -> list[dict[str, Any]]:
        page.emulate_media(media="print")
        page.set_viewport_size({"width": round(A4_INNER_MM * MM), "height": 1000})
        found: list[dict[str, Any]] = page.evaluate(
            """() => [...document.querySelectorAll('figure')].map(e => ({
                height: e.getBoundingClientRect().height, inside: getComputedStyle(e).breakInside,
                wide: e.querySelector('svg').getBoundingClientRect().right > document.documentElement.clientWidth}))"""
        )
        return found

    for figure in browser.see(written(kind), look):
        assert figure["inside"] == "avoid"
        assert figure["height"] < (297 - 30) * MM
        assert not figure["wide"]


def test_a_dropped_pile_of_paper_can_be_sorted(browser: PageBrowser, written: Written, kind: str) -> None:
    """Each sheet has its number; all but the first, which begins with the title, say of what page they are."""

    def look(page: "Page") -> tuple[str, list[str]]:
        sheets = PdfReader(BytesIO(page.pdf(prefer_css_page_size=True))).pages
        return page.title(), [" ".join(sheet.extract_text().split()) for sheet in sheets]

    title, sheets = browser.see(written(kind), look)
    for number, words in enumerate(sheets, start=1):
        assert f"page {number} of {len(sheets)}" in words
        assert title in words


def test_on_paper_what_leads_to_a_table_or_picture_stays_with_it(
    browser: PageBrowser, written: Written, kind: str
) -> None:
    def look(page: "Page") -> list[str]:
        page.emulate_media(media="print")
        found: list[str] = page.evaluate(
            """() => [...document.querySelectorAll('section figure, section .scrolled')]
                .map(e => e.previousElementSibling)
                .filter(e => e && e.matches('h2, p') && getComputedStyle(e).breakAfter !== 'avoid')
                .map(e => e.textContent)"""
        )
        return found

    assert browser.see(written(kind), look) == []


def test_on_paper_a_name_stays_with_what_is_told_of_it(browser: PageBrowser, written: Written) -> None:
    def look(page: "Page") -> list[str]:
        page.emulate_media(media="print")
        found: list[str] = page.evaluate(
            "() => [...document.querySelectorAll('ul.grouped > li')].map(e => getComputedStyle(e).breakInside)"
        )
        return found

    assert set(browser.see(written("store"), look)) == {"avoid"}


def test_on_paper_a_short_table_is_not_parted_and_a_long_one_may_be(
    browser: PageBrowser, written: Written
) -> None:
    def look(page: "Page") -> list[tuple[int, str]]:
        page.emulate_media(media="print")
        found: list[list[Any]] = page.evaluate(
            """() => [...document.querySelectorAll('.scrolled')].map(
                e => [e.querySelectorAll('tbody tr').length, getComputedStyle(e).breakInside])"""
        )
        return [(rows, inside) for rows, inside in found]

    tables = browser.see(written("mount"), look)
    assert {inside for rows, inside in tables if rows < 16} == {"avoid"}
    assert {inside for rows, inside in tables if rows >= 16} == {"auto"}


def test_on_paper_a_picture_of_many_rows_is_not_made_small(browser: PageBrowser, written: Written) -> None:
    """Its letters are as large as they were drawn: a unit of the drawing is a point."""

    def look(page: "Page") -> list[float]:
        page.emulate_media(media="print")
        page.set_viewport_size({"width": round(A4_INNER_MM * MM), "height": 1000})
        found: list[float] = page.evaluate(
            """() => [...document.querySelectorAll('figure svg')].map(e =>
                Math.min(e.getBoundingClientRect().width / e.viewBox.baseVal.width,
                         e.getBoundingClientRect().height / e.viewBox.baseVal.height))"""
        )
        return found

    assert min(browser.see(written("mount"), look)) > 0.98 * 96 / 72


def test_on_paper_a_table_is_set_no_larger_than_the_text(browser: PageBrowser, written: Written) -> None:
    def look(page: "Page") -> list[float]:
        page.emulate_media(media="print")
        sizes: list[float] = page.evaluate(
            "() => ['td', 'section p'].map(e => parseFloat(getComputedStyle(document.querySelector(e)).fontSize))"
        )
        return sizes

    of_table, of_text = browser.see(written("night"), look)
    assert of_table <= of_text


def test_on_a_telephone_what_a_table_is_about_is_in_view(
    browser: PageBrowser, written: Written, kind: str
) -> None:
    """Also where the table itself reaches beyond the window."""

    def look(page: "Page") -> list[str]:
        page.evaluate("document.querySelectorAll('details').forEach(e => e.open = true)")
        found: list[str] = page.evaluate(
            """() => [...document.querySelectorAll('caption')].filter(e => {
                const words = document.createRange();
                words.selectNodeContents(e);
                return words.getBoundingClientRect().right > document.documentElement.clientWidth;
            }).map(e => e.textContent)"""
        )
        return found

    assert browser.see(written(kind), look, width=320) == []


def test_no_date_is_broken_at_the_end_of_a_line(browser: PageBrowser, written: Written, kind: str) -> None:
    def look(page: "Page") -> list[str]:
        page.evaluate("document.querySelectorAll('details').forEach(e => e.open = true)")
        found: list[str] = page.evaluate(
            """() => {
                const broken = [], texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
                while (texts.nextNode()) {
                    if (texts.currentNode.parentElement.closest('svg, style')) continue;
                    for (const date of texts.currentNode.data.matchAll(/\\d{4}-\\d\\d-\\d\\d/g)) {
                        const here = document.createRange();
                        here.setStart(texts.currentNode, date.index);
                        here.setEnd(texts.currentNode, date.index + 10);
                        if (new Set([...here.getClientRects()].map(box => box.top)).size > 1)
                            broken.push(texts.currentNode.data);
                    }
                }
                return broken;
            }"""
        )
        return found

    for width in (320, 360, 390):
        assert browser.see(written(kind), look, width=width) == []


def test_a_shade_says_that_a_table_goes_on(browser: PageBrowser, written: Written) -> None:
    """At its right edge while there is more to the right, and no longer once that is in view."""

    def look(page: "Page") -> list[bool]:
        shaded = []
        table = page.locator(".scrolled").first
        page.evaluate("document.querySelector('.scrolled table').style.minWidth = '60rem'")
        page.evaluate(
            "document.querySelectorAll('.scrolled th, .scrolled td').forEach(e => e.textContent = ' ')"
        )
        for far in (0, 2000):
            table.evaluate("(e, far) => e.scrollLeft = far", far)
            seen = Image.open(BytesIO(table.screenshot())).convert("RGB")
            shaded.append(seen.getpixel((seen.width - 2, 3)) != getrgb(LIGHT.paper))
        return shaded

    assert browser.see(written("night"), look, width=360, style="light") == [True, False]


def test_a_picture_in_fewer_bytes_looks_the_same(
    browser: PageBrowser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    axes = [axis(date(2026, 1, day), 40 * sin(day), 40 * cos(2 * day)) for day in range(1, 29)]
    pictures = [axes_picture("Heron", MountType.GERMAN, axes), snags_picture("Heron", [POWER, LEVEL])]
    compacted = [inline_svg(picture) for picture in pictures]
    monkeypatch.setattr(drawing, "compact", lambda svg: svg)
    plain = [inline_svg(picture) for picture in pictures]
    assert sum(map(len, compacted)) < 0.8 * sum(map(len, plain))

    def seen(number: int, svgs: list[str]) -> "NDArray[np.int16]":
        path = tmp_path / f"{number}.html"
        colours = "; ".join(f"--{role}: {colour}" for role, colour in LIGHT.roles().items())
        whole = f'<!DOCTYPE html><meta charset="utf-8"><style>:root {{ {colours} }}</style>{"".join(svgs)}'
        path.write_text(whole, encoding="utf-8")
        return browser.see(path, dots)

    away = np.abs(seen(1, compacted) - seen(2, plain))
    assert away.max() <= 4 * SEEN
    assert (away > SEEN).mean() < 0.0001
