"""The pages of a folder: each with its file, and an index that links them all and says what each is about."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from obslog.club.overviews.folder_facts import FolderFacts
from obslog.english import counted
from obslog.report.overviews.club_page import club_page
from obslog.report.overviews.file_names import file_names
from obslog.report.overviews.member_page import member_page
from obslog.report.overviews.store_page import store_page
from obslog.report.pages.content import Links, Page, Paragraph, Part, Section
from obslog.report.pages.footer import footer_lines
from obslog.report.pages.mount_page import mount_page
from obslog.report.pages.night_page import night_page
from obslog.report.pages.stocktake_page import stocktake_page

INDEX = "index.html"
UP = (INDEX, "All pages")
GROUPS = {
    "The club and its store-room": ("club", "store", "stocktake"),
    "Mounts": ("mount",),
    "Nights": ("night",),
    "Members": ("member",),
}
PRIVATE = "Each of these pages is private to its member. Hand it to nobody else, and put it on no web site."


@dataclass(frozen=True, slots=True)
class FilePage:
    """A page, and the name of its file in the folder."""

    file: str
    page: Page


def folder_pages(facts: FolderFacts) -> list[FilePage]:
    """All pages with their files; the index is the last, so that it is written when all that it links is there."""
    pages = list(_pages(facts))
    return [*pages, FilePage(INDEX, index_page(facts, pages))]


def _pages(facts: FolderFacts) -> Iterator[FilePage]:
    yield FilePage("club.html", club_page(facts.club, UP))
    yield FilePage("store.html", store_page(facts.store, UP))
    if facts.stocktake is not None:
        yield FilePage("stocktake.html", stocktake_page(facts.stocktake, UP))
    mounts = file_names("mount", (one.mount for one in facts.mounts))
    for mount in facts.mounts:
        yield FilePage(mounts[mount.mount], mount_page(mount, UP))
    titles = [f"{one.night.page.night} {one.night.page.site}" for one in facts.nights]
    nights = file_names("night", titles)
    for title, night in zip(titles, facts.nights, strict=True):
        yield FilePage(nights[title], night_page(night, UP))
    members = file_names("member", (one.member for one in facts.members))
    for member in facts.members:
        yield FilePage(members[member.member], member_page(member, UP))


def index_page(facts: FolderFacts, pages: Sequence[FilePage]) -> Page:
    """The page that links all others, group by group, each with its one sentence, save what is private."""
    return Page(
        kind="index",
        title="The club's pages",
        lead=_lead(facts),
        sections=[
            Section(title, list(_group(kinds, pages)))
            for title, kinds in GROUPS.items()
            if any(one.page.kind in kinds for one in pages)
        ],
        footer=footer_lines(facts.basis),
    )


def _lead(facts: FolderFacts) -> str:
    parts = ["The club and its store-room"]
    if facts.mounts:
        parts.append(counted(len(facts.mounts), "mount"))
    if facts.nights:
        parts.append(f"the newest {counted(len(facts.nights), 'night')}")
    if facts.members:
        parts.append(counted(len(facts.members), "member"))
    return f"{', '.join(parts)}: a page each, as the records stood on {facts.day}."


def _group(kinds: Sequence[str], pages: Sequence[FilePage]) -> Iterator[Part]:
    if "member" in kinds:
        yield Paragraph(PRIVATE)
    yield Links([(one.page.title, one.file, _about(one.page)) for one in pages if one.page.kind in kinds])


def _about(page: Page) -> str:
    """What the page says first; nothing of what is private to a member, for the index is everybody's."""
    return "" if page.kind == "member" else page.lead
