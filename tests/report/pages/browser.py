"""Headless Chromium for the tests of pages: one for all of them, without a network, and with ears.

`browser.see(path, look)` opens a page from its file and gives what `look` finds on it. A request for anything but the
file, a word on the console or an error of the page fails the test that looks. The browser has a thread of its own, for
while playwright runs its thread can run no other event loop, and the prompt's tests need theirs.
"""

import os
import shutil
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TypeVar

import pytest

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from playwright.sync_api import Browser, Page, Playwright

_Found = TypeVar("_Found")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--force-color-profile=srgb",
]
WIDTHS = (360, 800, 1400)
STYLES = ("light", "dark", "red")


class PageBrowser:
    """Looks at pages; what a look gives back has to be plain values, for the page is closed behind it."""

    def __init__(self, program: str) -> None:
        self._thread = ThreadPoolExecutor(max_workers=1)
        self._playwright, self._browser = self._thread.submit(_started, program).result()

    def see(
        self,
        path: Path,
        look: "Callable[[Page], _Found]",
        *,
        width: int = 800,
        style: str | None = None,
        colours: Literal["light", "dark"] = "light",
    ) -> _Found:
        """What `look` finds on the page in a window so wide, with a style chosen on it where one is named."""
        found, troubles = self._thread.submit(self._seen, path, look, width, style, colours).result()
        assert troubles == []
        return found

    def close(self) -> None:
        self._thread.submit(self._browser.close).result()
        self._thread.submit(self._playwright.stop).result()
        self._thread.shutdown()

    def _seen(
        self,
        path: Path,
        look: "Callable[[Page], _Found]",
        width: int,
        style: str | None,
        colours: Literal["light", "dark"],
    ) -> tuple[_Found, list[str]]:
        own, troubles = path.resolve().as_uri(), []
        context = self._browser.new_context(
            viewport={"width": width, "height": 900}, color_scheme=colours, offline=True
        )
        try:
            page = context.new_page()
            page.on("console", lambda said: troubles.append(f"console: {said.text}"))
            page.on("pageerror", lambda error: troubles.append(f"error: {error}"))
            page.on("request", lambda asked: None if asked.url == own else troubles.append(asked.url[:200]))
            page.goto(own)
            if style is not None:
                page.check(f"#style-{style}")
            return look(page), troubles
        finally:
            context.close()


def _started(program: str) -> "tuple[Playwright, Browser]":
    from playwright.sync_api import sync_playwright

    playwright = sync_playwright().start()
    return playwright, playwright.chromium.launch(
        executable_path=program, args=FLAGS, ignore_default_args=["--hide-scrollbars"]
    )


@pytest.fixture(scope="session")
def browser() -> Iterator[PageBrowser]:
    """One browser for the whole run; without Chromium the tests are skipped, and fail where CI is set."""
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    if program is None:
        reason = "Chromium is not installed: apt-get install chromium"
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(reason)
    opened = PageBrowser(program)
    yield opened
    opened.close()


def violations(page: "Page", rules: Sequence[str] = ()) -> list[str]:
    """What axe finds against the Web Content Accessibility Guidelines and good practice: the rule, and where.

    Only the rules named, where any are: of the colours of a style it is enough to ask for the contrast.
    """
    from axe_playwright_python.sync_playwright import Axe

    options = {"runOnly": {"type": "rule", "values": list(rules)}} if rules else {}
    found: dict[str, Any] = Axe().run(page, options=options).response
    return [
        f"{rule['id']}: {' '.join(str(node['target']) for node in rule['nodes'])}"
        for rule in found["violations"]
    ]


def wider_than_the_window(page: "Page") -> list[str]:
    """What reaches beyond the window to the right, save inside a box that one can scroll and what waits unseen."""
    found: list[str] = page.evaluate(
        """() => [...document.querySelectorAll('body *')]
            .filter(e => !e.closest('.scrolled *') && !e.closest('svg *') && !e.matches('a.skip'))
            .filter(e => e.getBoundingClientRect().right > document.documentElement.clientWidth + 0.5)
            .map(e => e.tagName + ' ' + (e.className.baseVal ?? e.className) + ' ' + e.textContent.slice(0, 40))"""
    )
    wide = page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth")
    return [*found, *(["the page itself"] if wide else [])]


def dots(page: "Page") -> "NDArray[np.int16]":
    """The whole page as it is seen: red, green and blue of each dot, of 255."""
    from io import BytesIO

    import numpy as np
    from PIL import Image

    picture = Image.open(BytesIO(page.screenshot(full_page=True))).convert("RGB")
    return np.asarray(picture).astype(np.int16)


def brightest_green_or_blue(page: "Page") -> int:
    """The most green or blue in any dot of the whole page, of 255."""
    return int(dots(page)[..., 1:].max())


def tables(page: "Page") -> dict[str, list[list[str]]]:
    """The rows of each table by its caption, its head first, closed ones too."""
    found: dict[str, list[list[str]]] = page.evaluate(
        """() => Object.fromEntries([...document.querySelectorAll('table')].map(t => [
            t.caption.textContent, [...t.rows].map(r => [...r.cells].map(c => c.textContent))]))"""
    )
    return found
