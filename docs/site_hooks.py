"""What `mkdocs build` cannot read by itself: the pages above docs/, the links to them, and the shown commands' fences.

README.md, DEVELOPERS.md and CHANGELOG.md lie at the top, where people and their tools look for them; in the site they
are pages like the others, and the README is the first. Their links are those of the top, and are turned here.

The gallery leads to pages of the invented club, which the program writes when the site is built. That takes some
seconds: `mkdocs serve` goes without them, and so does a build where OBSLOG_SITE_CLUB is `no`.
"""

import os
import re
import runpy
import sys
import tempfile
from pathlib import Path, PurePosixPath

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page

TOP = Path(__file__).resolve().parents[1]
# A file at the top, and the page of the site that it is.
PAGES_OF_THE_TOP = {
    "README.md": "index.md",
    "DEVELOPERS.md": "DEVELOPERS.md",
    "CHANGELOG.md": "CHANGELOG.md",
    "LICENSE": "licence.md",
}
LINK = re.compile(r"(?<=\]\()(?P<place>[\w./-]+)(?=[)#])")
SHOWN = re.compile(r"^```console(?: fails)?$", re.MULTILINE)
CLUB_MARK = "<!-- in the site: the pages themselves -->"
CLUB_INDEX = "club/index.html"
_building: list[str] = []


def on_startup(*, command: str, dirty: bool) -> None:
    """Remember whether the site is built or only looked at while one writes."""
    _building[:] = [command]


def on_files(files: Files, *, config: MkDocsConfig) -> Files:
    """Add the pages of the top, and those of the invented club."""
    for name, page in PAGES_OF_THE_TOP.items():
        files.append(File.generated(config, page, content=page_of(name)))
    if _building == ["build"] and os.environ.get("OBSLOG_SITE_CLUB") != "no":
        for name, content in club_pages().items():
            files.append(File.generated(config, f"club/{name}", content=content))
    return files


def on_page_markdown(markdown: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
    """Turn links to the top, and show commands with their output as the text that they are, without colours."""
    text = SHOWN.sub("```text", LINK.sub(_in_the_site, markdown))
    there = files.get_file_from_path(CLUB_INDEX)
    return text.replace(CLUB_MARK, f"**[Open the club's pages]({CLUB_INDEX})**" if there else "")


def page_of(name: str) -> str:
    """A file of the top as Markdown."""
    text = (TOP / name).read_text(encoding="utf-8")
    return text if name.endswith(".md") else f"# Licence\n\n```text\n{text.strip()}\n```\n"


def club_pages() -> dict[str, str]:
    """The pages of the invented club, by their file names."""
    sys.path.insert(0, str(TOP))
    making = runpy.run_path(str(TOP / "docs" / "make_pictures.py"))
    with tempfile.TemporaryDirectory() as folder:
        making["write_pages"](Path(folder))
        return {path.name: path.read_text(encoding="utf-8") for path in sorted(Path(folder).iterdir())}


def _in_the_site(match: re.Match[str]) -> str:
    """Where a link leads within the site, whether it is written from the top or from docs/."""
    place = match["place"]
    name = PurePosixPath(place).name
    if place in (name, f"../{name}") and name in PAGES_OF_THE_TOP:
        return PAGES_OF_THE_TOP[name]
    return place.removeprefix("docs/")
