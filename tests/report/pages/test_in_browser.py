"""Every page in a browser without a network: whole, quiet, readable by everybody, at any width, in any style."""

from typing import TYPE_CHECKING, Any

import pytest

from tests.report.pages.browser import (
    STYLES,
    WIDTHS,
    PageBrowser,
    brightest_green_or_blue,
    violations,
    wider_than_the_window,
)
from tests.report.pages.conftest import PAGES, Written

if TYPE_CHECKING:
    from playwright.sync_api import Page

A4_INNER_MM = 180  # its width between the margins of a page
MM = 96 / 25.4


@pytest.fixture(params=PAGES)
def kind(request: pytest.FixtureRequest) -> str:
    """Each kind of page in turn."""
    name: str = request.param
    return name


@pytest.mark.parametrize("style", STYLES)
def test_nothing_stands_in_the_way_of_anybody(
    browser: PageBrowser, written: Written, kind: str, style: str
) -> None:
    def look(page: "Page") -> list[str]:
        page.evaluate("document.querySelectorAll('details').forEach(e => e.open = true)")
        return violations(page)

    assert browser.see(written(kind), look, style=style) == []


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_is_wider_than_the_window(
    browser: PageBrowser, written: Written, kind: str, width: int
) -> None:
    assert browser.see(written(kind), wider_than_the_window, width=width) == []


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
