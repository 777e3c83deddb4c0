"""The first sentences of a stocktake's page, against sentences written by hand."""

from datetime import date
from uuid import uuid4

import pytest

from obslog.club.shelves.committee import BeforeLine, LostLine, StocktakeFacts
from obslog.club.shelves.count_records import CountedItem, Standing, changes_of
from obslog.club.shelves.losses import Losses
from obslog.club.storeroom.custody import StoreStatus
from obslog.report.pages.stocktake_words import lead_words
from obslog.vocabulary.storeroom import Found

DAY = date(2026, 3, 2)


def facts(
    seen: int,
    lost: list[float | None],
    *,
    finished: date | None = date(2026, 3, 3),
    member: str | None = None,
    before: list[Found | None] | None = None,
) -> StocktakeFacts:
    """A stocktake that saw so many items, and did not find some of these values (None: not on record)."""
    values = [value for value in lost if value is not None]
    items = [item(Found.SEEN) for _ in range(seen)] + [item(Found.NOT_SEEN) for _ in lost]
    return StocktakeFacts(
        day=DAY,
        standing=Standing(
            started_on=DAY,
            finished_on=finished,
            member=member,
            expected=seen + len(lost),
            not_seen=len(lost),
            items=items,
            parts=[],
            not_on_record=[],
            whole=True,
            changes=changes_of(items, []),
            past=[],
        ),
        lost=[line(value) for value in lost],
        lost_value=sum(values) if values else None,
        not_valued=len(lost) - len(values),
        before_on=date(2025, 3, 3) if before is not None else None,
        before=[BeforeLine(name="X", tag=None, found=found) for found in before or []],
        losses=Losses(counts=[], trend="", by_chance=None),
        currency="EUR",
        with_names=False,
    )


def item(found: Found) -> CountedItem:
    return CountedItem(
        equipment_id=uuid4(), name="A", kind="item", tag=None, place=None, found=found, status=StoreStatus.IN
    )


def line(value: float | None) -> LostLine:
    return LostLine(
        name="A",
        kind="item",
        tag=None,
        place=None,
        value=value,
        lent_on=None,
        back_on=None,
        last_with=None,
        found_on=None,
        written_off_on=None,
    )


COUNTED = "Counted from 2026-03-02 to 2026-03-03."


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (facts(0, []), f"Nothing should have been on the shelves. {COUNTED}"),
        (facts(1, []), f"The one item that should have been on the shelves was seen. {COUNTED}"),
        (
            facts(40, [], member="Ines", finished=DAY),
            "All 40 items that should have been on the shelves were seen. Counted by Ines on 2026-03-02.",
        ),
        (
            facts(39, [900.0]),
            f"Of 40 items that should have been on the shelves 1 was not found, worth EUR 900.00. {COUNTED}",
        ),
        (
            facts(38, [900.0, 60.5]),  # 900 + 60.5
            f"Of 40 items that should have been on the shelves 2 were not found, worth EUR 960.50 together. {COUNTED}",
        ),
        (
            facts(37, [900.0, None, None]),
            "Of 40 items that should have been on the shelves 3 were not found; 1 of them is worth EUR 900.00, of the "
            f"rest it is not on record. {COUNTED}",
        ),
        (
            facts(39, [None]),
            f"Of 40 items that should have been on the shelves 1 was not found; its worth is not on record. {COUNTED}",
        ),
        (
            facts(38, [None, None]),
            "Of 40 items that should have been on the shelves 2 were not found; what they are worth is not on record. "
            f"{COUNTED}",
        ),
        (
            facts(
                5,
                [],
                before=[Found.SEEN, Found.BACK, Found.ON_LOAN, Found.STILL_MISSING, Found.NOT_SEEN, None],
            ),
            "All 5 items that should have been on the shelves were seen. Of 6 items that the stocktake before did not "
            f"find 3 are back. {COUNTED}",
        ),
        (
            facts(5, [], before=[None]),
            "All 5 items that should have been on the shelves were seen. The item that the stocktake before did not "
            f"find is not back. {COUNTED}",
        ),
        (
            facts(2, [None], finished=None, before=[Found.NOT_SEEN]),
            "2 of 3 items seen, 1 not seen yet. The item that the stocktake before did not find is not accounted for "
            "yet.",
        ),
        (
            facts(2, [None], finished=None, before=[Found.NOT_SEEN, Found.BACK, Found.SEEN]),
            "2 of 3 items seen, 1 not seen yet. Of 3 items that the stocktake before did not find 2 are accounted "
            "for so far.",
        ),
        (facts(0, [], finished=None), "Nothing should be on the shelves."),
        (
            facts(3, [None], finished=None, member="Ines"),
            "3 of 4 items seen, 1 not seen yet. Counted by Ines.",
        ),
    ],
)
def test_what_matters_most_is_said_first(said: StocktakeFacts, words: str) -> None:
    assert lead_words(said) == words
