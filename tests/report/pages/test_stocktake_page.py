"""The page of a stocktake: every item in its section, counts that add up, and texts of people's own as text."""

from datetime import date
from uuid import uuid4

from obslog.club.pages.basis import Basis
from obslog.club.shelves.standing import CountedItem, Found, PastCount, Standing, UnknownLine
from obslog.club.storeroom.custody import StoreStatus
from obslog.report.pages.content import Page, Table
from obslog.report.pages.stocktake_page import lead_words, stocktake_page
from obslog.report.pages.writing import page_html

DAY = date(2026, 3, 2)
HOSTILE = "<b>Heron</b> & 'co'"


def item(name: str, found: Found, place: str | None = "shelf 2", seen_at: str | None = None) -> CountedItem:
    return CountedItem(
        equipment_id=uuid4(),
        name=name,
        kind="item",
        tag=None,
        place=place,
        found=found,
        status=StoreStatus.IN,
        seen_at=seen_at,
    )


STANDING = Standing(
    started_on=DAY,
    member="Ines",
    items=[
        item("A", Found.NOT_SEEN),
        item(HOSTILE, Found.ELSEWHERE, seen_at="attic"),
        item("B", Found.SEEN),
        item("C", Found.SEEN, place=None),
        item("D", Found.ON_LOAN),
    ],
    not_on_record=[UnknownLine("T-999", "attic")],
    past=[PastCount(finished_on=date(2025, 3, 1), member=None, expected=40, not_found=3)],
)


def rows(page: Page, title: str) -> list[list[str]]:
    [section] = [section for section in page.sections if section.title == title]
    return [list(row) for part in section.parts if isinstance(part, Table) for row in part.rows]


def test_each_item_stands_where_it_belongs() -> None:
    page = stocktake_page(STANDING, Basis(day=DAY, used=()))
    assert page.lead == "3 of 4 items seen, 1 not seen yet. Counted by Ines."
    assert rows(page, "Not seen") == [["A", "item", "shelf 2"]]  # no column in which nothing stands
    assert [row[0] for row in rows(page, "Seen elsewhere")] == [HOSTILE]
    assert [row[0] for row in rows(page, "On loan")] == ["D"]
    assert rows(page, "Place by place") == [
        ["shelf 2", "3", "1", "1", "1"],
        ["No place on record", "1", "1", "0", "0"],
    ]
    assert rows(page, "Stocktakes before") == [["2025-03-01", "", "40", "3", "7.5 %"]]  # 3 of 40


def test_what_people_wrote_is_text() -> None:
    html = page_html(stocktake_page(STANDING, Basis(day=DAY, used=())))
    assert "<b>Heron" not in html
    assert "&lt;b&gt;Heron" in html


def test_an_empty_club_has_a_page_too() -> None:
    nothing = Standing(started_on=DAY, member=None, items=[], not_on_record=[], past=[])
    assert lead_words(nothing) == "Nothing should be on the shelves."
    assert "This is the first." in page_html(stocktake_page(nothing, Basis(day=DAY, used=())))
