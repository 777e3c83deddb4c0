"""What is worked out of how items and parts stand: what moves, and what finishing changes."""

from datetime import date
from uuid import uuid4

import pytest

from obslog.club.shelves.count_records import (
    CountedItem,
    CountedPart,
    Moved,
    PastCount,
    PlaceCount,
    changes_of,
    elsewhere,
    place_counts,
)
from obslog.club.storeroom.custody import StoreStatus
from obslog.vocabulary.storeroom import Found


def item(name: str, found: Found, place: str | None = None, seen_at: str | None = None) -> CountedItem:
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


def part(name: str, found: Found) -> CountedPart:
    return CountedPart(kit_part_id=uuid4(), kit="Evening kit", part=name, found=found, status=StoreStatus.IN)


@pytest.mark.parametrize(
    ("kept", "seen", "other"),
    [
        (None, None, False),
        ("shelf 2", None, False),
        (None, "attic", True),
        ("shelf 2", "attic", True),
        ("Shelf  2", "shelf 2", False),
    ],
)
def test_only_where_it_was_said_where_something_is_it_is_elsewhere(
    kept: str | None, seen: str | None, other: bool
) -> None:
    assert elsewhere(kept, seen) is other


def test_finishing_changes_what_was_not_seen_what_came_back_and_what_lies_elsewhere() -> None:
    items = [
        item("A", Found.NOT_SEEN, "shelf 2"),
        item("B", Found.BACK, "shelf 2", "shelf 2"),
        item("C", Found.BACK, "shelf 2", "attic"),
        item("D", Found.ELSEWHERE, None, "attic"),
        item("E", Found.AGAINST_RECORD, "shelf 2", "attic"),
        item("F", Found.SEEN, "shelf 2"),
    ]
    parts = [
        part("dew cap", Found.NOT_SEEN),
        part("cable", Found.BACK),
        part("hex key", Found.SEEN),
        part("bag", Found.NOT_LOOKED_AT),
    ]
    changes = changes_of(items, parts)
    assert changes.goes_missing == ["A"]
    assert changes.comes_back == ["B", "C"]
    assert changes.moved == [
        Moved(name="C", tag=None, place="shelf 2", seen_at="attic"),
        Moved(name="D", tag=None, place=None, seen_at="attic"),
    ]
    assert changes.parts_missing == ["dew cap of Evening kit"]
    assert changes.parts_back == ["cable of Evening kit"]


def test_places_are_counted_by_what_should_be_there() -> None:
    items = [
        item("A", Found.NOT_SEEN, "shelf 2"),
        item("B", Found.ELSEWHERE, "shelf 2", "attic"),
        item("C", Found.SEEN, "shelf 2"),
        item("D", Found.ON_LOAN, "shelf 3"),
        item("E", Found.SEEN),
    ]
    assert place_counts(items) == [
        PlaceCount(place="shelf 2", items=3, seen=1, elsewhere=1, not_seen=1),
        PlaceCount(place="No place on record", items=1, seen=1, elsewhere=0, not_seen=0),
    ]
    assert place_counts([]) == []


def test_capitals_and_spaces_of_a_place_do_not_make_another() -> None:
    items = [item("One", Found.SEEN, "Shelf 2"), item("Two", Found.NOT_SEEN, "shelf  2")]
    assert place_counts(items) == [PlaceCount(place="Shelf 2", items=2, seen=1, elsewhere=0, not_seen=1)]


def test_of_nothing_no_share_is_missing() -> None:
    day = date(2026, 3, 2)
    assert PastCount(started_on=day, finished_on=day, member=None, expected=0, not_found=0).percent is None
    assert PastCount(started_on=day, finished_on=day, member=None, expected=40, not_found=3).percent == 7.5
