"""What a stocktake says: of each item, of the parts of kits that are only labels, and what finishing does with them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from obslog.club.storeroom.custody import StoreStatus
from obslog.records.tables.base import name_key, spelt_once
from obslog.vocabulary.storeroom import Found

NO_PLACE = "No place on record"
SHOULD_BE_THERE = (Found.SEEN, Found.ELSEWHERE, Found.NOT_SEEN)


def elsewhere(kept_at: str | None, seen_at: str | None) -> bool:
    """Whether something was seen at another place than where it is kept; where nobody said where, it was not."""
    return seen_at is not None and (kept_at is None or name_key(kept_at) != name_key(seen_at))


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedItem:
    """An item in a count: where it is kept, how it stands, what it is worth, and where it was seen, if told."""

    equipment_id: UUID
    name: str
    kind: str
    tag: str | None
    place: str | None
    found: Found
    status: StoreStatus
    seen_at: str | None = None
    note: str | None = None
    value: float | None = None

    @property
    def should_be_there(self) -> bool:
        return self.found in SHOULD_BE_THERE

    @property
    def moves(self) -> bool:
        """Whether finishing makes the place where it was seen its place; what is lent or retired keeps its own."""
        return self.found in (Found.ELSEWHERE, Found.BACK) and elsewhere(self.place, self.seen_at)


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedPart:
    """A part of a kit that is only a label, and how it stands."""

    kit_part_id: UUID
    kit: str
    part: str
    found: Found
    status: StoreStatus

    @property
    def words(self) -> str:
        return f"{self.part} of {self.kit}"


@dataclass(frozen=True, slots=True)
class UnknownLine:
    """What was seen and is not on record."""

    text: str
    seen_at: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PastCount:
    """A stocktake that is finished: how many things should have been there, and how many were not."""

    started_on: date
    finished_on: date
    member: str | None
    expected: int
    not_found: int

    @property
    def percent(self) -> float | None:
        return 100 * self.not_found / self.expected if self.expected else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """An item whose place on record is to be that where it was seen."""

    name: str
    tag: str | None
    place: str | None
    seen_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """What finishing changes on record: what is missing from then on, what is found, and what is kept elsewhere."""

    goes_missing: list[str]
    comes_back: list[str]
    moved: list[Moved]
    parts_missing: list[str]
    parts_back: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A stocktake, by place and name; and those before it, the newest first.

    `expected` is how many items should be on the shelves, `not_seen` how many of them were not. `whole` is False of one
    that was finished before it was kept how each item stood: then only what was ticked and what was not found is told.
    `changes` is what finishing would change, or, once it is finished, has changed.
    """

    started_on: date
    finished_on: date | None
    member: str | None
    expected: int
    not_seen: int
    items: list[CountedItem]
    parts: list[CountedPart]
    not_on_record: list[UnknownLine]
    whole: bool
    changes: Changes
    past: list[PastCount]

    def those(self, *found: Found) -> list[CountedItem]:
        return [item for item in self.items if item.found in found]

    def parts_that(self, *found: Found) -> list[CountedPart]:
        return [part for part in self.parts if part.found in found]

    @property
    def kits_not_looked_at(self) -> list[str]:
        """The kits with parts that are only labels which nobody looked through: those parts are left as they are."""
        return list(dict.fromkeys(part.kit for part in self.parts_that(Found.NOT_LOOKED_AT)))


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceCount:
    """How many items should be at a place, and how many of them were seen there, elsewhere, and not."""

    place: str
    items: int
    seen: int
    elsewhere: int
    not_seen: int


def place_counts(items: Sequence[CountedItem]) -> list[PlaceCount]:
    """Place by place what should be there, in the order of the items; capitals do not matter."""
    found: dict[str, list[Found]] = {}
    places = spelt_once(item.place or NO_PLACE for item in items)
    for item in items:
        if item.should_be_there:
            found.setdefault(places[item.place or NO_PLACE], []).append(item.found)
    return [
        PlaceCount(
            place=place,
            items=len(of_it),
            seen=of_it.count(Found.SEEN),
            elsewhere=of_it.count(Found.ELSEWHERE),
            not_seen=of_it.count(Found.NOT_SEEN),
        )
        for place, of_it in found.items()
    ]


def changes_of(items: Sequence[CountedItem], parts: Sequence[CountedPart]) -> Changes:
    """What finishing changes, by how items and parts stand."""
    return Changes(
        goes_missing=[item.name for item in items if item.found is Found.NOT_SEEN],
        comes_back=[item.name for item in items if item.found is Found.BACK],
        moved=[
            Moved(name=item.name, tag=item.tag, place=item.place, seen_at=item.seen_at)
            for item in items
            if item.seen_at is not None and item.moves
        ],
        parts_missing=[part.words for part in parts if part.found is Found.NOT_SEEN],
        parts_back=[part.words for part in parts if part.found is Found.BACK],
    )
