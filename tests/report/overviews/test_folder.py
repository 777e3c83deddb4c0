"""A folder of pages: an index that links them all, and a way back up from each."""

from dataclasses import replace

import pytest

from obslog.club.overviews.folder_facts import folder_facts
from obslog.club.register import named_records
from obslog.club.shelves.counting import start
from obslog.records.database import Database
from obslog.report.overviews.folder import INDEX, PRIVATE, FilePage, folder_pages
from obslog.report.pages.content import Links, Page, Paragraph
from tests.club.performance.histories import NOW


@pytest.fixture
def pages(club: Database) -> list[FilePage]:
    start(club, NOW)
    return folder_pages(folder_facts(club, NOW, most_nights=3, with_members=True, with_names=False))


def links_of(page: Page) -> list[tuple[str, str, str]]:
    return [
        link
        for section in page.sections
        for part in section.parts
        if isinstance(part, Links)
        for link in part.items
    ]


def test_the_index_comes_last_and_links_every_other_page_once(pages: list[FilePage]) -> None:
    assert pages[-1].file == INDEX
    assert sorted(file for _, file, _ in links_of(pages[-1].page)) == sorted(one.file for one in pages[:-1])


def test_the_index_counts_only_what_has_pages(club: Database, pages: list[FilePage]) -> None:
    assert pages[-1].page.lead.startswith("The club and its store-room, 3 mounts, 2 members: a page each, ")
    facts = folder_facts(club, NOW, most_nights=1, with_members=False, with_names=False)
    assert not facts.nights
    bare = folder_pages(replace(facts, mounts=[]))[-1].page.lead
    assert bare == f"The club and its store-room: a page each, as the records stood on {facts.day}."


def test_each_link_says_in_its_sentence_what_the_page_is_about(pages: list[FilePage]) -> None:
    leads = {one.file: (one.page.title, one.page.lead) for one in pages[:-1] if one.page.kind != "member"}
    about = {file: (title, words) for title, file, words in links_of(pages[-1].page)}
    assert leads.items() <= about.items()
    assert all(words.endswith(".") for _, words in leads.values())


def test_the_index_tells_nothing_of_what_is_private_to_a_member(pages: list[FilePage]) -> None:
    members = {one.file for one in pages if one.page.kind == "member"}
    assert members
    assert {words for _, file, words in links_of(pages[-1].page) if file in members} == {""}


def test_a_mount_and_a_member_of_one_name_have_pages_of_two_titles(club: Database) -> None:
    named_records.add(club, "member", "Heron", {}, NOW)
    facts = folder_facts(club, NOW, most_nights=1, with_members=True, with_names=False)
    titles = [one.page.title for one in folder_pages(facts)]
    assert {"The mount Heron", "The member Heron"} <= set(titles)
    assert len(titles) == len(set(titles))


def test_the_stocktake_stands_beside_the_store_room(pages: list[FilePage]) -> None:
    [stocktake] = [one for one in pages if one.page.kind == "stocktake"]
    first = pages[-1].page.sections[0]
    assert first.title == "The club and its store-room"
    files = [file for part in first.parts if isinstance(part, Links) for _, file, _ in part.items]
    assert files == ["club.html", "store.html", stocktake.file]


def test_every_page_leads_back_up(pages: list[FilePage]) -> None:
    assert {one.page.up for one in pages[:-1]} == {(INDEX, "All pages")}
    assert pages[-1].page.up is None


def test_members_pages_are_said_to_be_private(pages: list[FilePage], club: Database) -> None:
    def index(*, with_members: bool) -> str:
        facts = folder_facts(club, NOW, most_nights=3, with_members=with_members, with_names=False)
        sections = folder_pages(facts)[-1].page.sections
        return repr([part for one in sections for part in one.parts if isinstance(part, (Links, Paragraph))])

    assert PRIVATE in index(with_members=True)
    assert "member-ines.html" in index(with_members=True)
    assert "Ines" not in index(with_members=False)
