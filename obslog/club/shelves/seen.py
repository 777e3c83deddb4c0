"""What came of a line of a stocktake: a tag or name that was typed, or scanned."""

from dataclasses import dataclass
from enum import StrEnum

from obslog.club.storeroom.custody import StoreStatus


class SeenOutcome(StrEnum):
    """What came of a line; the first three are ticks. A kit is looked through for its parts that are only labels."""

    SEEN = "seen"
    ELSEWHERE = "seen elsewhere"
    AGAIN = "seen already"
    NOT_ON_RECORD = "not on record"
    SEVERAL = "several of that name"
    A_KIT = "a kit"
    A_PART = "a part of a kit"


def status_words(status: StoreStatus) -> str:
    return "on loan" if status is StoreStatus.OUT else status


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What came of a line: which item it is, where it is kept, where it was seen, and what the records say of it.

    `kinds` are those of the items that share the name, where nothing was ticked. Of a kit: which of its parts that are
    only labels were there and which parts were missing, and which of its items are still to be ticked by themselves.
    Of a part that is only a label, and is counted with its kit: the kits that have such a part.
    Of what is not on record: the names in use that look most like it, the nearest first.
    """

    text: str
    outcome: SeenOutcome
    name: str | None = None
    tag: str | None = None
    kept_at: str | None = None
    seen_at: str | None = None
    status: StoreStatus | None = None
    kinds: tuple[str, ...] = ()
    parts_there: tuple[str, ...] = ()
    parts_missing: tuple[str, ...] = ()
    to_tick: tuple[str, ...] = ()
    of_kits: tuple[str, ...] = ()
    nearest: tuple[str, ...] = ()

    @property
    def but_on_record(self) -> str | None:
        """What the records say of what was seen, where by them it should not be on the shelves."""
        return None if self.status in (None, StoreStatus.IN) else status_words(self.status)
