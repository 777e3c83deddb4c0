"""The documentation as a site: it builds without a warning, its links lead somewhere, nothing asks the network."""

import os
import re
import shutil
import subprocess
import sys
from collections import defaultdict
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from html.parser import HTMLParser
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar
from urllib.parse import unquote, urldefrag, urljoin, urlsplit

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Page

_Found = TypeVar("_Found")
ROOT = Path(__file__).resolve().parents[1]
PAGES = [*sorted((ROOT / "docs").glob("*.md")), *(ROOT / f"{name}.md" for name in ("README", "DEVELOPERS"))]
# What a browser fetches by itself when it opens a page; a link that a reader may follow is none of these.
FETCHED = {"script": "src", "img": "src", "iframe": "src", "source": "src", "embed": "src", "object": "data"}
FETCHED_LINKS = {
    "stylesheet",
    "icon",
    "preload",
    "prefetch",
    "preconnect",
    "dns-prefetch",
    "manifest",
    "modulepreload",
}
OUT_OF_THE_NETWORK = re.compile(r"(?:url\(|@import)\s*[\"']?\s*(?:https?:)?//")
LEADS_ON = re.compile(r"^\*\*Next:\*\* .*\[[^]]+\]\([^)]+\)", re.MULTILINE)


class Read(HTMLParser):
    """What a page links to, what it fetches, and the places within it that can be linked to."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.fetched: list[str] = []
        self.places: set[str] = {""}
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = {name: value or "" for name, value in attrs}
        self.places |= {found[name] for name in ("id", "name") if name in found}
        if tag == "a" and "href" in found:
            self.links.append(found["href"])
        if tag in FETCHED and FETCHED[tag] in found:
            self.fetched.append(found[FETCHED[tag]])
        if tag == "link" and FETCHED_LINKS & set(found.get("rel", "").split()):
            self.fetched.append(found["href"])


def is_outside(address: str) -> bool:
    """Whether the address is one of the network: `//somewhere` and `https://somewhere` are."""
    parts = urlsplit(address)
    return bool(parts.netloc) or parts.scheme not in ("", "data", "javascript")


def leads_nowhere(pages: Mapping[str, Read], files: set[str]) -> dict[str, list[str]]:
    """Of each page the links, and what it fetches, that are neither a file of the site nor a place within a page."""
    lost: dict[str, list[str]] = defaultdict(list)
    for name, page in pages.items():
        for address in [*page.links, *page.fetched]:
            if is_outside(address) or address.startswith(("data:", "javascript:")):
                continue
            target, place = urldefrag(urljoin(name, address))
            target = unquote(target) or name
            known = pages[target].places if target in pages else {""}
            if target not in files or unquote(place) not in known:
                lost[name].append(address)
    return dict(lost)


def built(folder: Path, **settings: str) -> Path:
    """The site as the one command builds it, in that folder."""
    done = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--strict", "--site-dir", str(folder)],
        cwd=ROOT,
        env=os.environ | {"NO_MKDOCS_2_WARNING": "1", "PYTHONDONTWRITEBYTECODE": "1"} | settings,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        pytest.fail(done.stdout + done.stderr, pytrace=False)
    return folder


def pages_of(site: Path) -> dict[str, Read]:
    return {
        path.relative_to(site).as_posix(): Read(path.read_text(encoding="utf-8"))
        for path in site.rglob("*.html")
        if path.name != "404.html"  # its links are those of a server's top
    }


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site without the invented club's own pages, which take longer than all others."""
    return built(tmp_path_factory.mktemp("documentation") / "site", OBSLOG_SITE_CLUB="no")


@pytest.fixture(scope="module")
def pages(site: Path) -> dict[str, Read]:
    return pages_of(site)


def files_of(site: Path) -> set[str]:
    return {path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()}


def test_every_page_is_in_the_site(pages: Mapping[str, Read]) -> None:
    named = {"README": "index"}
    assert {f"{named.get(page.stem, page.stem)}.html" for page in PAGES} <= pages.keys()
    assert "licence.html" in pages


def test_every_link_leads_somewhere(site: Path, pages: Mapping[str, Read]) -> None:
    assert sum(len(page.links) for page in pages.values()) > 1000
    assert leads_nowhere(pages, files_of(site)) == {}


@pytest.mark.slow
def test_the_gallery_leads_to_the_pages_of_the_club(tmp_path: Path) -> None:
    site = built(tmp_path / "site")
    pages = pages_of(site)
    assert "club/index.html" in pages["gallery.html"].links
    assert {"club/mount-bramble.html", "club/store.html", "club/club.html"} <= pages.keys()
    assert leads_nowhere(pages, files_of(site)) == {}
    assert {name: out for name, page in pages.items() if (out := [*filter(is_outside, page.fetched)])} == {}


def test_links_that_lead_nowhere_are_found() -> None:
    pages = {
        "a.html": Read('<a href="b.html#there">1</a><a href="b.html#lost">2</a><a href="gone.html">3</a>'),
        "b.html": Read(
            '<h2 id="there">There</h2><a href="#there">1</a><a href="https://obslog.example">2</a>'
        ),
    }
    assert leads_nowhere(pages, set(pages)) == {"a.html": ["b.html#lost", "gone.html"]}


def test_no_page_fetches_anything_from_the_network(pages: Mapping[str, Read]) -> None:
    assert {name: out for name, page in pages.items() if (out := [*filter(is_outside, page.fetched)])} == {}


def test_no_style_sheet_fetches_anything_from_the_network(site: Path) -> None:
    sheets = list(site.rglob("*.css"))
    assert len(sheets) > 2
    assert [sheet.name for sheet in sheets if OUT_OF_THE_NETWORK.search(sheet.read_text("utf-8"))] == []


def test_what_would_be_fetched_from_the_network_is_found() -> None:
    fetching = (
        '<script src="https://x.example/a.js"></script><link rel="stylesheet" href="//x.example/b.css">'
    )
    staying = '<img src="a.svg"><img src="data:image/png;base64,AA=="><link rel="canonical" href="https://x.example/">'
    assert [*filter(is_outside, Read(fetching + staying).fetched)] == [
        "https://x.example/a.js",
        "//x.example/b.css",
    ]
    assert OUT_OF_THE_NETWORK.search("src: url('https://x.example/a.woff2')")
    assert not OUT_OF_THE_NETWORK.search("background: url(a.svg)")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_every_page_leads_on(page: Path) -> None:
    last = page.read_text(encoding="utf-8").rstrip().rpartition("\n\n")[2]
    assert LEADS_ON.match(last), f'let {page.name} end with a paragraph "**Next:** [...](...)"'


def test_the_readme_names_every_page_of_the_documentation() -> None:
    named = set(re.findall(r"\]\(docs/([\w-]+\.md)", (ROOT / "README.md").read_text(encoding="utf-8")))
    assert {page.name for page in PAGES if page.parent.name == "docs"} - named == set()


def looked_at(path: Path, look: "Callable[[Page], _Found]") -> _Found:
    """What a browser without a network finds on a page of the site that is opened from its file.

    It has a thread of its own, for while it runs its thread can run no other event loop.
    """
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    if program is None:
        if os.environ.get("CI"):
            pytest.fail("Chromium is not installed: apt-get install chromium")
        pytest.skip("Chromium is not installed: apt-get install chromium")
    with ThreadPoolExecutor(max_workers=1) as thread:
        return thread.submit(_opened, program, path, look).result()


def _opened(program: str, path: Path, look: "Callable[[Page], _Found]") -> _Found:
    from playwright.sync_api import sync_playwright

    flags = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update"]
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=program, args=[*flags, "--no-first-run"])
        page = opened.new_context(offline=True, viewport={"width": 1200, "height": 900}).new_page()
        troubles: list[str] = []
        page.on("console", lambda said: troubles.append(said.text))
        page.on("pageerror", lambda error: troubles.append(str(error)))
        page.on(
            "request",
            lambda asked: None if asked.url.startswith(("file:", "data:")) else troubles.append(asked.url),
        )
        page.goto(path.resolve().as_uri())
        found = look(page)
        opened.close()
    assert troubles == []
    return found


def test_the_search_works_from_a_folder_without_a_network(site: Path) -> None:
    def search(page: "Page") -> list[str]:
        page.click("input.md-search__input")
        page.keyboard.type("overdue")
        page.wait_for_selector(".md-search-result__item a")
        found = page.locator(".md-search-result__item h1").all_inner_texts()
        return [str(heading) for heading in found]

    assert any("officer" in heading for heading in looked_at(site / "index.html", search))


def test_the_red_page_has_neither_green_nor_blue(site: Path) -> None:
    def brightest(page: "Page") -> list[float]:
        from matplotlib.image import imread

        page.evaluate("document.querySelectorAll('input[name=__palette]')[2].click()")
        page.wait_for_timeout(500)  # colours fade over
        pixels = imread(BytesIO(page.screenshot()))
        return [255 * float(pixels[..., band].max()) for band in range(3)]

    red, green, blue = looked_at(site / "index.html", brightest)
    assert red > 100
    assert green <= 10
    assert blue <= 10
