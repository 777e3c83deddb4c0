"""Names and notes that are typed to do harm, or in other scripts, or without end: on a page they are text."""

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from obslog.fields import TextField
from obslog.report.pages.writing import page_html
from tests.report.pages.browser import WIDTHS, PageBrowser, wider_than_the_window
from tests.report.pages.conftest import run_program
from tests.report.pages.test_writing import page_of, parsed

if TYPE_CHECKING:
    from playwright.sync_api import Page

SCRIPT = "<script>alert(document.title)</script>"
QUOTES = "\"Ines\" & 'Sons' onload=x $x^2$ {{ 7 * 7 }}"
HEBREW, ARABIC, EMOJI = "שלום Heron", "مرحبا بكم", "🔭🚀"
ENDLESS = "W" * 10_000  # on a page made by hand; the program itself takes no more than LONGEST
LONGEST = TextField("note").longest
MEMBER = f"O'Brien </title>{EMOJI}"
MOUNT = f"Heron <img src=x onerror=alert(1)> {EMOJI}"
NOTE = " ".join((SCRIPT, QUOTES, HEBREW, ARABIC, EMOJI))
DAY = "2026-10-30"


@pytest.fixture(scope="module")
def hostile(club_file: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The pages of a mount and of a night where every text that the program takes is such a one."""
    folder = tmp_path_factory.mktemp("hostile")
    database = Path(shutil.copy(club_file, folder / "club.db"))
    for words in (
        ["mount", "edit", "Heron", "--rename", MOUNT],
        ["member", "add", MEMBER],
        ["night", "start", "Mill Field", "--on", DAY, "--with", MEMBER, "--note", NOTE],
        [
            "setup",
            "start",
            MOUNT,
            "--tube",
            "Long tube",
            "--observer",
            MEMBER,
            "--at",
            "19:00",
            "--note",
            NOTE,
        ],
        ["sync", "Vega", "12E", "5N", "--at", "19:05", "--sure"],
        ["check", "Capella", "3E", "4N", "--at", "19:10", "--sure", "--note", NOTE],
        ["saw", "M 31", "--at", "19:20", "--sure", "--note", f"{NOTE} {'W' * (LONGEST - 1 - len(NOTE))}"],
        ["snag", "add", "level", NOTE, "--at", "19:25"],
        ["setup", "edit", MOUNT, "--night", DAY, "--note", "W" * LONGEST],
    ):
        run_program(database, *words)
    pages = {"mount": folder / "mount.html", "night": folder / "night.html"}
    run_program(database, "page", "mount", MOUNT, "--out", str(pages["mount"]))
    run_program(database, "page", "night", DAY, "--out", str(pages["night"]))
    return pages


def text_of(page: "Page") -> str:
    """All that stands on the page, in one piece, closed parts too."""
    page.evaluate("document.querySelectorAll('details').forEach(e => e.open = true)")
    return " ".join(page.inner_text("body").split())


@pytest.mark.parametrize("kind", ["mount", "night"])
def test_they_stand_on_the_page_sign_for_sign(
    browser: PageBrowser, hostile: dict[str, Path], kind: str
) -> None:
    """No script runs, nothing is fetched and no word is on the console, or looking would have failed."""
    said = browser.see(hostile[kind], text_of)
    for text in (MOUNT, MEMBER, NOTE):
        assert text in said
    parsed(hostile[kind].read_text(encoding="utf-8"))


@pytest.mark.parametrize("kind", ["mount", "night"])
@pytest.mark.parametrize("width", WIDTHS)
def test_they_make_no_page_wider_than_its_window(
    browser: PageBrowser, hostile: dict[str, Path], kind: str, width: int
) -> None:
    assert browser.see(hostile[kind], wider_than_the_window, width=width) == []


def test_a_text_in_another_direction_turns_nothing_else_around(
    browser: PageBrowser, hostile: dict[str, Path]
) -> None:
    """The Latin words before the Hebrew ones still begin at the left."""

    def look(page: "Page") -> tuple[str, float]:
        cell = page.locator("td", has_text=HEBREW).first
        return cell.evaluate("e => getComputedStyle(e).direction"), cell.evaluate("e => e.offsetLeft")

    direction, left = browser.see(hostile["night"], look)
    assert (direction, left > 0) == ("ltr", True)


def test_ten_thousand_letters_without_a_space_fit_in_everywhere(browser: PageBrowser, tmp_path: Path) -> None:
    path = tmp_path / "endless.html"
    path.write_text(page_html(page_of(ENDLESS)), encoding="utf-8")
    assert browser.see(path, wider_than_the_window, width=360) == []
    assert ENDLESS in browser.see(path, text_of)
