"""The page of a stocktake: every item in its section, counts that add up, and texts of people's own as text."""

from dataclasses import replace
from datetime import date
from uuid import uuid4

from obslog.club.shelves.committee import BeforeLine, LostLine, StocktakeFacts
from obslog.club.shelves.count_records import (
    CountedItem,
    CountedPart,
    PastCount,
    Standing,
    UnknownLine,
    changes_of,
)
from obslog.club.shelves.losses import FinishedCount, Losses
from obslog.club.storeroom.custody import StoreStatus
from obslog.report.pages.content import Bullets, Page, Paragraph, Table
from obslog.report.pages.stocktake_page import NO_NAMES, stocktake_page
from obslog.report.pages.writing import page_html
from obslog.report.pictures.picture import Picture
from obslog.vocabulary.storeroom import Found

DAY = date(2026, 3, 2)
EARLIER = date(2025, 3, 1)
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


def part(kit: str, name: str, found: Found) -> CountedPart:
    return CountedPart(kit_part_id=uuid4(), kit=kit, part=name, found=found, status=StoreStatus.IN)


ITEMS = [
    item("A", Found.NOT_SEEN),
    item(HOSTILE, Found.ELSEWHERE, seen_at="attic"),
    item("B", Found.SEEN),
    item("C", Found.SEEN, place=None),
    item("D", Found.ON_LOAN),
]
PARTS = [
    part("Dark kit", "cap", Found.SEEN),
    part("Dark kit", "bag", Found.BACK),
    part("Evening kit", "cap", Found.NOT_SEEN),
    part("Evening kit", "bag", Found.SEEN),
    part("Lent kit", "cap", Found.ON_LOAN),
    part("Old kit", "cap", Found.NOT_LOOKED_AT),
    part("Old kit", "bag", Found.STILL_MISSING),
]
STANDING = Standing(
    started_on=DAY,
    finished_on=DAY,
    member="Ines",
    expected=4,
    not_seen=1,
    items=ITEMS,
    parts=PARTS,
    not_on_record=[UnknownLine("T-999", "attic")],
    whole=True,
    changes=changes_of(ITEMS, PARTS),
    past=[PastCount(started_on=EARLIER, finished_on=EARLIER, member=None, expected=40, not_found=3)],
)
LOST = LostLine(
    name="A",
    kind="item",
    tag=None,
    place="shelf 2",
    value=900.0,
    lent_on=date(2026, 1, 5),
    back_on=date(2026, 1, 20),
    last_with=None,
    found_on=date(2026, 4, 1),
    written_off_on=None,
)
COUNT = FinishedCount(
    finished_on=DAY,
    member="Ines",
    expected=4,
    not_found=1,
    percent=25.0,
    low=4.6,
    high=69.9,
    items=[],
    unnamed=1,
)
FACTS = StocktakeFacts(
    day=date(2026, 5, 1),
    standing=STANDING,
    lost=[LOST],
    lost_value=900.0,
    not_valued=0,
    before_on=EARLIER,
    before=[
        BeforeLine(name="B", tag="B-1", found=Found.SEEN),
        BeforeLine(name="D", tag=None, found=Found.ON_LOAN),
        BeforeLine(name="E", tag=None, found=Found.STILL_MISSING),
        BeforeLine(name="A", tag=None, found=Found.NOT_SEEN),
        BeforeLine(name="F", tag=None, found=None),
    ],
    losses=Losses(counts=[COUNT], trend="One stocktake is no trend yet.", by_chance=None),
    currency="EUR",
    with_names=False,
)
EMPTY = replace(
    FACTS,
    standing=replace(
        STANDING, finished_on=None, items=[], parts=[], not_on_record=[], past=[], expected=0, not_seen=0
    ),
    lost=[],
    before_on=None,
    before=[],
    losses=Losses(counts=[], trend="No stocktake is finished yet.", by_chance=None),
)


def parts_of(page: Page, title: str) -> list[object]:
    [section] = [section for section in page.sections if section.title == title]
    return list(section.parts)


def rows(page: Page, title: str) -> list[list[str]]:
    return [list(row) for one in parts_of(page, title) if isinstance(one, Table) for row in one.rows]


def test_each_item_stands_where_it_belongs() -> None:
    page = stocktake_page(FACTS)
    assert page.title == "The stocktake of 2026-03-02"
    assert page.lead.startswith(
        "Of 4 items that should have been on the shelves 1 was not found, worth EUR 900.00."
    )
    # No column in which nothing stands: neither a tag nor who had it is told.
    assert rows(page, "Not found") == [
        ["A", "item", "shelf 2", "EUR 900.00", "2026-01-05 to 2026-01-20", "found on 2026-04-01"]
    ]
    assert Paragraph(NO_NAMES) in parts_of(page, "Not found")
    assert [row[0] for row in rows(page, "Seen elsewhere")] == [HOSTILE]
    assert [row[0] for row in rows(page, "On loan")] == ["D"]
    assert rows(page, "Place by place") == [
        ["shelf 2", "3", "1", "1", "1"],
        ["No place on record", "1", "1", "0", "0"],
    ]
    assert rows(page, "How losses go") == [["2025-03-01", "2025-03-01", "", "40", "3", "7.5 %"]]  # 3 of 40


def test_what_the_one_before_did_not_find_is_told_with_what_became_of_it() -> None:
    assert rows(stocktake_page(FACTS), "Since the stocktake before") == [
        ["B", "B-1", "back"],
        ["D", "", "back, and on loan"],
        ["E", "", "still missing"],
        ["A", "", "found since, and not seen now"],
        ["F", "", "written off or retired"],
    ]
    none_lost = stocktake_page(replace(FACTS, before=[]))
    assert parts_of(none_lost, "Since the stocktake before") == [
        Paragraph("The stocktake of 2025-03-01 found everything.")
    ]


def test_kits_are_told_by_what_is_missing_from_them() -> None:
    [told] = parts_of(stocktake_page(FACTS), "Loose parts of kits")
    assert told == Bullets(
        [
            "Dark kit: complete.",
            "Evening kit: missing: cap.",
            "Lent kit: on loan.",
            "Old kit: nobody looked through it. Missing before: bag.",
        ]
    )


def test_who_had_it_last_is_named_where_names_were_asked_for() -> None:
    named = replace(FACTS, lost=[replace(LOST, last_with="Bram Ostler")], with_names=True)
    page = stocktake_page(named)
    assert "Bram Ostler" in rows(page, "Not found")[0]
    assert Paragraph(NO_NAMES) not in parts_of(page, "Not found")


def test_the_trend_is_said_and_drawn() -> None:
    said, picture, _ = parts_of(stocktake_page(FACTS), "How losses go")
    assert said == Paragraph("One stocktake is no trend yet.")
    assert isinstance(picture, Picture)
    assert [row[:3] for row in picture.rows] == [("2026-03-02", "4", "1")]


def test_what_people_wrote_is_text() -> None:
    html = page_html(stocktake_page(FACTS))
    assert "<b>Heron" not in html
    assert "&lt;b&gt;Heron" in html


def test_of_one_from_before_it_was_kept_how_items_stood_this_is_said() -> None:
    old = replace(FACTS, standing=replace(STANDING, whole=False))
    assert parts_of(stocktake_page(old), "What was kept")


def test_an_empty_club_has_a_page_too() -> None:
    page = stocktake_page(EMPTY)
    assert page.title == "The stocktake begun on 2026-03-02"
    assert page.lead == "Nothing should be on the shelves. Counted by Ines."
    assert "No stocktake before this one is on record." in page_html(page)
