"""The index of a folder of pages in a browser without a network: readable, at any width, and red in red."""

from pathlib import Path

import pytest

from obslog.club.overviews.folder_facts import folder_facts
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.report.overviews.folder import INDEX, folder_pages
from obslog.report.pages.writing import page_html
from tests.club.performance.histories import NOW
from tests.report.pages.browser import (
    STYLES,
    WIDTHS,
    PageBrowser,
    brightest_green_or_blue,
    violations,
    wider_than_the_window,
)


@pytest.fixture(scope="module")
def index(club_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The index of the small club's pages, members' too."""
    database = Database(make_engine(str(club_file)), str(club_file))
    facts = folder_facts(database, NOW, most_nights=3, with_members=True, with_names=False)
    database.close()
    path = tmp_path_factory.mktemp("index") / INDEX
    path.write_text(page_html(folder_pages(facts)[-1].page), encoding="utf-8")
    return path


@pytest.mark.parametrize("style", STYLES)
def test_nothing_stands_in_the_way_of_anybody(browser: PageBrowser, index: Path, style: str) -> None:
    assert browser.see(index, violations, style=style) == []


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_is_wider_than_the_window(browser: PageBrowser, index: Path, width: int) -> None:
    assert browser.see(index, wider_than_the_window, width=width) == []


def test_red_is_red(browser: PageBrowser, index: Path) -> None:
    assert browser.see(index, brightest_green_or_blue, style="red") <= 10
